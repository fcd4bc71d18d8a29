import type { Band, Contact } from "../store/state.js";

export interface BandView {
  /** Half of the drawn width, 0 (a line) to 1 (all of it). */
  readonly half: number;
  /** How much of the step's window is steady, 0 to 1. */
  readonly filled: number;
  readonly words: string;
}

/** Spread at which the band takes the whole width, counts. */
const WIDEST_COUNTS = 1000;

const CONTACT_WORDS: Readonly<Record<Contact, string>> = {
  lifted: "Probes lifted",
  touching: "Touching",
  settling: "Settling",
  held: "Held",
};

export function bandView(contact: Contact, band: Band | null): BandView {
  const word = CONTACT_WORDS[contact];
  if (contact === "held") return { half: 0, filled: 1, words: word };
  if (contact === "lifted" || band === null) return { half: 1, filled: 0, words: word };
  const counts = Math.round(band.counts);
  const spread = `moves by ${counts} ${counts === 1 ? "count" : "counts"}`;
  return { half: halfWidth(band.counts), filled: band.filled, words: `${word}: ${spread}` };
}

/**
 * Half of the drawn width for a spread, 0 to 1: logarithmic, so that both a rubbing contact
 * (hundreds of counts) and the last two counts before the hold can be seen moving.
 */
export function halfWidth(counts: number): number {
  return Math.min(1, Math.log1p(counts) / Math.log1p(WIDEST_COUNTS));
}

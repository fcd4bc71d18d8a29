import type { MeterStatus } from "../../workbench/contract/events.js";
import type { BenchState, LinkNow, ReadingNow } from "../store/state.js";
import { flagWords, functionWords, meterAdvice, meterSign } from "./meter-words.js";
import type { MeterState } from "./meter-words.js";

export interface ReadingView {
  /** As the meter's own display shows them; "" when nothing was ever read. */
  readonly digits: string;
  readonly unit: string;
  readonly words: string;
  readonly flags: readonly string[];
  readonly state: MeterState | "bench-gone";
  readonly sign: string;
  readonly advice: string;
  readonly live: boolean;
}

/** The big reading of one channel. Live means live now: bench there, meter live. */
export function readingView(
  newest: ReadingNow | undefined,
  meter: MeterStatus | undefined,
  link: LinkNow,
): ReadingView {
  const reading = newest?.reading;
  const state = link.state === "open" ? (meter?.state ?? "absent") : "bench-gone";
  return {
    digits: newest?.digits ?? "",
    unit: reading === undefined ? "" : `${newest?.prefix ?? ""}${reading.unit}`,
    words: reading === undefined ? "" : functionWords(reading),
    flags: reading === undefined ? [] : flagWords(reading.flags),
    state,
    sign: state === "bench-gone" ? "Bench gone" : meterSign(state),
    advice: state === "bench-gone" || meter === undefined ? "" : meterAdvice(meter),
    live: state === "live",
  };
}

/** Seconds since the reading was taken, by the job's clock where it is known. */
export function ageOf(newest: ReadingNow, clock: BenchState["clock"], now_ms: number): number {
  const sinceArrival_s = (now_ms - newest.arrived_ms) / 1000;
  if (clock === null) return sinceArrival_s;
  const jobNow_s = clock.time_s + (now_ms - clock.at_ms) / 1000;
  // A reading that came with the snapshot of a reconnect is older than its arrival.
  return Math.max(sinceArrival_s, jobNow_s - newest.reading.time_s);
}

export interface DigitCell {
  readonly kind: "sign" | "digit" | "point" | "word";
  readonly text: string;
}

/** Cells of fixed width, the sign's always there, so that nothing moves when a digit changes. */
export function digitCells(digits: string): readonly DigitCell[] {
  const signed = /^[+\-−]/.test(digits);
  const body = signed ? digits.slice(1) : digits;
  const sign: DigitCell = { kind: "sign", text: signed ? digits.slice(0, 1) : "" };
  const cells = Array.from(body, (text): DigitCell => {
    if (text === "." || text === ",") return { kind: "point", text };
    return { kind: /[0-9]/.test(text) ? "digit" : "word", text };
  });
  return [sign, ...cells];
}

/** The cell widths of bench.css; the digits shrink when a meter has more of them. */
const CELL_EMS = { sign: 0.5, digit: 0.62, point: 0.34, word: 0.62 } as const;
/** The width at which four-digit meters are drawn: one digit fewer does not change the size. */
const LEAST_EMS = 3.32;

export function widthInEms(cells: readonly DigitCell[]): number {
  const width = cells.reduce((sum, { kind }) => sum + CELL_EMS[kind], 0);
  return Math.max(LEAST_EMS, Math.round(width * 100) / 100);
}

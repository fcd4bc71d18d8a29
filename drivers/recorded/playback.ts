import { formatAddress, parseAddress } from "../address.js";
import type { Clock } from "../clock.js";
import type { LinkKind, LinkMaker } from "../link-kind.js";
import { recordedKind } from "../links.js";
import { Player } from "./player.js";
import { RecordedLink } from "./recorded-link.js";
import { recordingOf } from "./recording.js";

/** Recordings that are played as the meters of one run. */
export interface Playback {
  /** The time they were recorded on, from the first of their bytes. */
  readonly clock: Clock;
  readonly link: LinkKind;
}

/**
 * For a run on nothing but recordings; null where one of the meters is none. Its times are those
 * of the recordings, so that two meters of one job keep their distance, and the same recordings
 * give the same run, at any pace. `idle` is awaited before time goes on. Rejects with `input/recording…`, `usage/meter-option`.
 */
export async function openPlayback(
  meters: readonly string[],
  real: Clock,
  idle: () => Promise<void> = () => Promise.resolve(),
): Promise<Playback | null> {
  const addresses = meters.map(parseAddress);
  if (!addresses.every(({ scheme }) => scheme === recordedKind.scheme)) return null;
  const player = await Player.open(addresses.map(recordingOf), { real, base: "recorded", idle });
  const free = addresses.map((address, n) => ({ name: formatAddress(address), n }));
  const maker: LinkMaker = (address, { clock }) => {
    // Called once a meter: where two have one address, each gets a tape of its own.
    const at = free.findIndex(({ name }) => name === formatAddress(address));
    const tape = player.tapes[free.splice(at, 1)[0]?.n ?? 0];
    return () => new RecordedLink(clock, () => Promise.resolve({ player, tape }));
  };
  const link = { ...recordedKind, load: () => Promise.resolve(maker) };
  return { clock: player.clock, link };
}

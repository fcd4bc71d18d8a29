import type { Chunk } from "../../protocols/raw-log.js";
import { BaseLink } from "../base-link.js";
import type { Clock } from "../clock.js";
import type { Closed } from "../link.js";
import type { LinkMaker } from "../link-kind.js";
import { Player } from "./player.js";
import { recordingOf } from "./recording.js";
import type { Listener, Tape } from "./tape.js";

const idle = (): Promise<void> => Promise.resolve();

/** One recording by itself, beside meters that are live: as if its first bytes came now. */
export const recordedLinks: LinkMaker = (address, { clock }) => {
  const recording = recordingOf(address);
  return () =>
    new RecordedLink(clock, async () => {
      const player = await Player.open([recording], { real: clock, base: "now", idle });
      return { player, tape: player.tapes[0] };
    });
};

interface Place {
  readonly player: Player;
  readonly tape: Tape | undefined;
}

/** Listens to one tape of a player. */
export class RecordedLink extends BaseLink implements Listener {
  readonly #find: () => Promise<Place>;
  #place: Place | null = null;

  constructor(clock: Clock, find: () => Promise<Place>) {
    super(clock);
    this.#find = find;
  }

  hear(chunk: Chunk): void {
    this.deliver(chunk.bytes, chunk.arrival_ns);
  }

  over(closed: Closed): void {
    this.ended(closed);
  }

  protected async connect(): Promise<void> {
    this.#place = await this.#find();
    const { player, tape } = this.#place;
    if (tape !== undefined) await player.listen(tape, this);
  }

  /** A recording hears nothing; what an asking protocol sends goes nowhere. */
  protected send(): Promise<void> {
    return Promise.resolve();
  }

  protected release(): Promise<void> {
    const tape = this.#place?.tape;
    if (tape !== undefined) this.#place?.player.leave(tape, this);
    return Promise.resolve();
  }
}

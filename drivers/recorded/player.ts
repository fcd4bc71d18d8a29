import type { Clock } from "../clock.js";
import { SimulatedClock } from "../simulated-clock.js";
import type { Recording } from "./recording.js";
import { Tape } from "./tape.js";
import type { Listener } from "./tape.js";

/** What time the chunks are told at: as they were recorded, or as if the first came now. */
type TimeBase = "recorded" | "now";

/** Whoever turns the tapes. */
interface Hand {
  /** The computer's time. */
  readonly real: Clock;
  readonly base: TimeBase;
  /** Awaited after each thing that was due, for those whose work goes on beyond being told. */
  readonly idle: () => Promise<void>;
}

/**
 * Plays recordings together, in order of arrival. Its clock shows the time they were recorded on
 * and goes from one thing that is due to the next: how fast it goes, how busy the computer is and
 * into which pieces the bytes were cut changes nothing of what comes to those who go by it.
 */
export class Player {
  readonly clock: SimulatedClock;
  readonly tapes: readonly Tape[];
  readonly #pace: number;
  readonly #hand: Hand;
  /** Tapes that somebody has listened to. */
  readonly #heard = new Set<Tape>();
  #play: (() => void) | null = null;
  readonly #playing: Promise<void>;
  #wake: () => void = () => undefined;

  private constructor(tapes: readonly Tape[], pace: number, hand: Hand) {
    this.tapes = tapes;
    this.#pace = pace;
    this.#hand = hand;
    this.clock = new SimulatedClock(earliest(tapes)?.next?.arrival_ns);
    this.#playing = new Promise((resolve) => (this.#play = resolve));
  }

  /** Reads the first chunk of each. Rejects with `input/recording…`. */
  static async open(recordings: readonly Recording[], hand: Hand): Promise<Player> {
    const tapes = recordings.map((recording) => new Tape(recording));
    await Promise.all(tapes.map((tape) => tape.advance()));
    // One hand turns all of them: the slowest that is asked for.
    const pace = Math.min(...recordings.map((recording) => recording.pace));
    return new Player(tapes, pace, hand);
  }

  /** Resolves when all tapes are listened to and time begins to move. */
  async listen(tape: Tape, listener: Listener): Promise<void> {
    tape.listen(listener);
    this.#heard.add(tape);
    if (this.#heard.size === this.tapes.length && this.#play !== null) {
      this.#play();
      this.#play = null;
      void this.#run();
    }
    await this.#playing;
  }

  leave(tape: Tape, listener: Listener): void {
    tape.leave(listener);
    if (!this.#isHeard()) this.#wake();
  }

  async #run(): Promise<void> {
    // Those who listen hear that they are open before anything comes.
    await this.#settled();
    const { base, real } = this.#hand;
    const shift_ns = base === "recorded" ? 0n : real.now_ns() - this.clock.now_ns();
    const pacer = new Pacer(this.clock, real, this.#pace);
    for (let tape = earliest(this.tapes); tape !== null && this.#isHeard();) {
      await this.#goTo(tape.next?.arrival_ns ?? 0n, pacer);
      tape.play(shift_ns);
      await tape.advance();
      await this.#settled();
      tape = earliest(this.tapes);
    }
    // One that holds less than the others is silent from there on: nobody pulled its cable.
    for (const tape of this.tapes) tape.end();
  }

  /** Timer by timer, whatever the pace: work that one of them begins is done before the next. */
  async #goTo(end_ns: bigint, pacer: Pacer): Promise<void> {
    while (this.clock.now_ns() < end_ns && this.#isHeard()) {
      const due_ns = this.clock.due_ns ?? end_ns;
      const next_ns = due_ns < end_ns ? due_ns : end_ns;
      await pacer.until(next_ns, (wake) => (this.#wake = wake));
      if (!this.#isHeard()) return;
      this.clock.advanceTo(next_ns);
      await this.#settled();
    }
  }

  async #settled(): Promise<void> {
    await new Promise((resolve) => setImmediate(resolve));
    await this.#hand.idle();
  }

  #isHeard(): boolean {
    return this.tapes.some((tape) => tape.isHeard);
  }
}

/** Holds the recorded time to so many times the real one. */
class Pacer {
  readonly #recorded0_ns: bigint;
  readonly #real0_ns: bigint;

  constructor(
    recorded: Clock,
    private readonly real: Clock,
    private readonly pace: number,
  ) {
    this.#recorded0_ns = recorded.now_ns();
    this.#real0_ns = real.now_ns();
  }

  /** Resolves at the real time of `recorded_ns`, or when what `onWake` was given is called. */
  async until(recorded_ns: bigint, onWake: (wake: () => void) => void): Promise<void> {
    const due_ms = Number(recorded_ns - this.#recorded0_ns) / this.pace / 1e6;
    const wait_ms = due_ms - Number(this.real.now_ns() - this.#real0_ns) / 1e6;
    if (wait_ms <= 0) return;
    await new Promise<void>((resolve) => {
      const cancel = this.real.after(wait_ms, resolve);
      onWake(() => {
        cancel();
        resolve();
      });
    });
  }
}

/** Of two at the same time the one named first. */
function earliest(tapes: readonly Tape[]): Tape | null {
  let first: Tape | null = null;
  for (const tape of tapes) {
    if (tape.next === null) continue;
    if (first?.next == null || tape.next.arrival_ns < first.next.arrival_ns) first = tape;
  }
  return first;
}

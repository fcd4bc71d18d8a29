import type { TimedReading } from "../../protocols/reading.js";
import { ContactTracker, touchOf } from "../measurement/contact.js";
import { meterTrouble } from "../measurement/dial.js";
import { ZeroProof } from "../measurement/proof.js";
import type {
  Outcome,
  Prompt,
  Watch,
  WatchFactory,
  WatchTarget,
  WatchUpdate,
} from "../measurement/watch.js";
import { LeftOver } from "./left-over.js";
import { SweepLog } from "./sweep-log.js";

export interface SweepParameters {
  readonly duration_s: number;
}

/** Contact for this long before the shaft is asked for. */
const LANDED_S = 0.6;
/** Open for longer than this: the probes are off, or a brush never touches. */
const AWAY_S = 3;
/** The proof of an open circuit waits four of these, so that the shaft is turned meanwhile. */
const PROOF_WINDOW_S = 2;
/** For the drawing of the band only; nothing is held while the shaft turns. */
const BAND = { window_s: 0.5, counts: 10 };

/**
 * Least and greatest while the shaft is turned by hand: an open or burnt bar, a brush that does not
 * reach. The value is the greatest; over range when it was open at some angle. An opening counts
 * only when it is seen in two passes, because a probe may slip once.
 */
export const sweepWatch: WatchFactory<SweepParameters> = (target, parameters, left) =>
  new SweepWatch(target, parameters, left);

const STAYING: WatchUpdate = { contact: "touching", band: null, prompt: null, outcome: null };

class SweepWatch implements Watch {
  readonly #target: WatchTarget;
  readonly #duration_s: number;
  readonly #left: LeftOver;
  readonly #contact = new ContactTracker(BAND);
  readonly #proof: ZeroProof;
  readonly #log = new SweepLog();
  #start_s: number | null = null;
  #landed_s: number | null = null;
  #away_s: number | null = null;
  /** Time swept so far, probes on. */
  #swept_s = 0;
  #last_s: number | null = null;
  #openInFirstPass: boolean | null = null;

  constructor(target: WatchTarget, { duration_s }: SweepParameters, left: TimedReading | null) {
    this.#target = target;
    this.#left = new LeftOver(left);
    this.#duration_s = duration_s;
    this.#proof = new ZeroProof(target.quantity, PROOF_WINDOW_S);
  }

  push(reading: TimedReading): WatchUpdate {
    this.#start_s ??= reading.time_s;
    const trouble = meterTrouble(this.#target, reading);
    if (trouble !== null) {
      this.#contact.lose();
      this.#proof.interrupt();
      this.#last_s = null;
      return this.#update(trouble, null);
    }
    if (this.#left.isStill(reading)) return STAYING;
    this.#contact.push(reading);
    this.#follow(reading);
    const outcome = this.#outcome(reading);
    return this.#update(outcome ? null : this.#prompt(), outcome);
  }

  #update(prompt: Prompt | null, outcome: Outcome | null): WatchUpdate {
    const { state, band } = this.#contact;
    const turning = this.#landed_s !== null && state !== "lifted";
    return { contact: outcome ? "held" : turning ? "settling" : state, band, prompt, outcome };
  }

  #follow(reading: TimedReading): void {
    const { time_s } = reading;
    const isReference = !this.#proof.acceptsValue;
    if (this.#landed_s === null) this.#proof.push(time_s, this.#contact);
    if (isReference) return;
    const isOpen = touchOf(reading) === "none";
    this.#away_s = isOpen ? (this.#away_s ?? time_s) : null;
    const isAway = this.#away_s !== null && time_s - this.#away_s > AWAY_S;
    if (isAway) {
      this.#log.forgetOpening();
      this.#landed_s = null;
    } else if (!isOpen) this.#landed_s ??= time_s;
    const since_s = this.#last_s === null ? 0 : time_s - this.#last_s;
    this.#last_s = time_s;
    if (this.#landed_s === null || time_s - this.#landed_s < LANDED_S) return;
    this.#swept_s += since_s;
    this.#log.push(reading, isOpen);
  }

  #prompt(): Prompt | null {
    if (this.#proof.prompt) return this.#proof.prompt;
    return this.#landed_s === null ? null : { kind: "turn-shaft" };
  }

  #outcome(reading: TimedReading): Outcome | null {
    const start_s = this.#start_s ?? reading.time_s;
    if (this.#proof.proved) return { ...this.#log.outcome(reading, start_s, true), zero: "proved" };
    if (this.#swept_s < this.#duration_s) return null;
    this.#openInFirstPass ??= this.#log.takeOpenings() > 0;
    if (!this.#openInFirstPass) return this.#log.outcome(reading, start_s, false);
    if (this.#swept_s < 2 * this.#duration_s) return null;
    return this.#log.outcome(reading, start_s, this.#log.takeOpenings() > 0);
  }
}

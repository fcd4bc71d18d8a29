import type { Quantity } from "../../protocols/reading.js";
import type { ContactTracker } from "./contact.js";
import type { Prompt } from "./watch.js";

/**
 * Proves a zero or an open circuit, which is the most frequent fault and also what a bad contact
 * shows: re-seat the probes, show the meter a known source (volts) or touch the probes together
 * (ohms), come back, the same again. Nothing in the stream tells open probes from a dead circuit,
 * so each wait for "nothing" is as long as a hand needs to get there.
 */
type Stage = "look" | "reseat" | "reference" | "return";

/** Seconds of nothing before it is taken for what the points show. */
const PATIENCE_S = { look: 4, reseat: 4, return: 5 } as const;
/** Probes touched together read no more than this, leads included. */
const TOGETHER_OHM = 10;
const TOGETHER_DIODE_V = 0.05;

export class ZeroProof {
  prompt: Prompt | null = null;
  proved = false;

  readonly #quantity: Quantity;
  readonly #patience: number;
  #stage: Stage = "look";
  #since_s: number | null = null;
  /** After the reference, whether the probes have left it. */
  #left = false;

  /** `window_s`: the step's window; no wait is shorter than four of them. */
  constructor(quantity: Quantity, window_s: number) {
    this.#quantity = quantity;
    this.#patience = 4 * window_s;
  }

  /** Whether a value at rest now belongs to the step, not to the reference shown to the meter. */
  get acceptsValue(): boolean {
    return this.#stage === "look" || this.#stage === "reseat" || this.#left;
  }

  /** A wrong dial or flag: what was seen so far still holds, the waiting starts again. */
  interrupt(): void {
    this.#since_s = null;
  }

  push(time_s: number, contact: ContactTracker): void {
    const nothing = contact.touch === "none";
    if (nothing) this.#since_s ??= time_s;
    else this.#since_s = null;
    if (this.#stage === "reference") {
      if (this.#isReference(contact)) this.#go("return", { kind: "return" });
      return;
    }
    if (this.#stage === "return" && nothing) this.#left = true;
    if (this.#since_s === null) return;
    const waited = time_s - this.#since_s;
    if (waited < Math.max(this.#patience, PATIENCE_S[this.#stage])) return;
    this.#advance(time_s);
  }

  #advance(time_s: number): void {
    this.#since_s = time_s;
    if (this.#stage === "look") this.#go("reseat", { kind: "reseat" });
    else if (this.#stage === "reseat" && this.#hasReference) {
      this.#go("reference", this.#isOhms ? { kind: "touch-together" } : SOURCE);
    } else this.proved = true;
  }

  #go(stage: Stage, prompt: Prompt): void {
    this.#stage = stage;
    this.prompt = prompt;
    this.#left = false;
    this.#since_s = null;
  }

  get #isOhms(): boolean {
    return this.#quantity !== "voltage";
  }

  /** No source is ever to be shown to a meter set to amperes: its input is a short circuit. */
  get #hasReference(): boolean {
    return this.#quantity !== "current" && this.#quantity !== "power";
  }

  #isReference({ state, rest }: ContactTracker): boolean {
    if (state !== "held" || rest === null) return false;
    if (this.#quantity === "voltage") return true;
    const most = this.#quantity === "diode" ? TOGETHER_DIODE_V : TOGETHER_OHM;
    return Math.abs(rest.mean) <= most;
  }
}

const SOURCE: Prompt = { kind: "show-known-source" };

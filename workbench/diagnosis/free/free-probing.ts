import type { TimedReading } from "../../../protocols/reading.js";
import { ContactTracker } from "../../measurement/contact.js";
import type { HeldReading, Match } from "./match.js";

/** A place that was declared before the probes go there. */
export type Declared = Pick<Match, "probe" | "condition" | "words">;

/** What free probing says while the probes go where they like. */
export type FreeEvent =
  /** A reading stands still and nobody said where: its places are wanted (`offer`). */
  | { readonly kind: "held"; readonly held: HeldReading }
  /** Is it there? Staying says yes, and so does the HOLD key; lifting says no. */
  | { readonly kind: "ask"; readonly held: HeldReading; readonly match: Match }
  | { readonly kind: "taken"; readonly taken: TakenReading }
  /** No place is left that fits. */
  | { readonly kind: "unmatched"; readonly held: HeldReading }
  /** The probes left before a place was confirmed. */
  | { readonly kind: "lifted" };

export interface TakenReading {
  readonly held: HeldReading;
  readonly place: Declared;
  readonly how: "declared" | "stayed" | "hold-key";
  readonly time_s: number;
}

/** Time for the question to be said, and for a hand to lift that does not agree, seconds. */
const STAY_S = 3;
const STEADY = { window_s: 0.6, counts: 4 };
/** Readings within this share are the same reading shown again. */
const SAME = 0.03;

interface Asked {
  readonly held: HeldReading;
  readonly matches: readonly Match[];
  readonly at: number;
  readonly since_s: number;
}

/**
 * Probing without a plan: holds what stands still, asks where it is, takes it when that is
 * confirmed. Deterministic; time comes from the readings.
 */
export class FreeProbing {
  private readonly contact = new ContactTracker(STEADY);
  private declared: Declared | null = null;
  private trigger: HeldReading["trigger"] = null;
  private asked: Asked | null = null;
  /** A question that was answered with no: the same reading again asks for the next place. */
  private refused: Asked | null = null;
  /** What stands on the probes has been dealt with; something new begins with a lift. */
  private done = false;
  private newest_s = 0;
  private hold = false;

  /** Where the probes go next; null: nobody says. */
  declare(place: Declared | null): void {
    this.declared = place;
    this.asked = null;
    this.refused = null;
    this.done = false;
  }

  setTrigger(trigger: HeldReading["trigger"]): void {
    this.trigger = trigger;
  }

  push(reading: TimedReading): FreeEvent[] {
    const quantity = quantityOf(reading);
    if (quantity === null) return [];
    this.newest_s = reading.time_s;
    const key = reading.flags.includes("hold");
    const pressed = key && !this.hold;
    this.hold = key;
    // With HOLD on the meter shows a frozen number: it says yes, and nothing of the probes.
    if (key) return pressed ? this.keyPressed(reading, quantity) : [];
    this.contact.push(reading);
    if (this.contact.state === "lifted" || this.contact.touch !== "value") return this.lifted();
    const { rest } = this.contact;
    if (rest === null) return [];
    if (this.asked !== null) return this.stayed(this.asked, rest.mean);
    if (this.done) return [];
    this.done = true;
    return this.holds({ quantity, value: rest.mean, trigger: this.trigger });
  }

  /** The places for what was held, the likeliest first. Late answers, after a lift, are dropped. */
  offer(held: HeldReading, matches: readonly Match[]): FreeEvent[] {
    if (!this.done || this.asked !== null) return [];
    return this.ask(held, matches, 0);
  }

  private holds(held: HeldReading): FreeEvent[] {
    const { declared, refused } = this;
    if (declared !== null) return this.take(held, declared, "declared");
    if (refused !== null && isSame(refused.held, held)) {
      return this.ask(held, refused.matches, refused.at + 1);
    }
    this.refused = null;
    return [{ kind: "held", held }];
  }

  private ask(held: HeldReading, matches: readonly Match[], at: number): FreeEvent[] {
    const match = matches[at];
    this.refused = null;
    if (match === undefined) return [{ kind: "unmatched", held }];
    this.asked = { held, matches, at, since_s: this.newest_s };
    return [{ kind: "ask", held, match }];
  }

  private stayed(asked: Asked, mean: number): FreeEvent[] {
    if (!isSame(asked.held, { ...asked.held, value: mean })) {
      this.asked = null;
      this.done = false;
      return [];
    }
    if (this.newest_s - asked.since_s < STAY_S) return [];
    return this.confirmed(asked, "stayed");
  }

  /** HOLD says yes to a question; with a place declared it takes what shows, a dead circuit too. */
  private keyPressed(reading: TimedReading, quantity: HeldReading["quantity"]): FreeEvent[] {
    if (this.asked !== null) return this.confirmed(this.asked, "hold-key");
    if (this.declared === null) return [];
    const held = { quantity, value: reading.value, trigger: this.trigger };
    if (held.value === null && quantity === "voltage") return [];
    return this.take(held, this.declared, "hold-key");
  }

  private confirmed({ held, matches, at }: Asked, how: TakenReading["how"]): FreeEvent[] {
    const match = matches[at];
    return match === undefined ? [] : this.take(held, match, how);
  }

  private take(held: HeldReading, place: Declared, how: TakenReading["how"]): FreeEvent[] {
    this.asked = null;
    this.refused = null;
    this.declared = null;
    this.done = true;
    return [{ kind: "taken", taken: { held, place, how, time_s: this.newest_s } }];
  }

  private lifted(): FreeEvent[] {
    this.done = false;
    if (this.asked === null) return [];
    this.refused = this.asked;
    this.asked = null;
    return [{ kind: "lifted" }];
  }
}

function quantityOf({ quantity }: TimedReading): HeldReading["quantity"] | null {
  if (quantity === "voltage") return "voltage";
  return quantity === "resistance" || quantity === "continuity" ? "resistance" : null;
}

function isSame(a: HeldReading, b: HeldReading): boolean {
  if (a.quantity !== b.quantity || a.value === null || b.value === null) return false;
  const size = Math.max(Math.abs(a.value), Math.abs(b.value));
  return Math.abs(a.value - b.value) <= Math.max(SAME * size, 0.15);
}

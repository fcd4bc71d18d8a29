import type { TimedReading } from "../../../protocols/reading.js";
import { ContactTracker } from "../../measurement/contact.js";
import type { Declared, FreeEvent, TakenReading } from "./free-event.js";
import { KeyQuestions } from "./key-questions.js";
import type { HeldReading, Match } from "./match.js";

/** Time for the question to be said, and for a hand to lift that does not agree, seconds. */
const STAY_S = 3;
const STEADY = { window_s: 0.6, counts: 4 };
/** Readings within this share are the same reading shown again. */
const SAME = 0.03;
/** Nothing on the probes for so long: somebody waits for a word, or stands on a dead circuit. */
const IDLE_S = 12;

interface Asked {
  readonly held: HeldReading;
  readonly matches: readonly Match[];
  readonly at: number;
  readonly since_s: number;
}

/** A reading that was taken since the probes touched, and where. */
type Known = Pick<TakenReading, "held" | "place">;

/**
 * Probing without a plan: holds what stands still, asks where it is, takes it when that is
 * confirmed. While probes stay where a reading was taken, another reading is that of the trigger.
 * Deterministic; time comes from the readings.
 */
export class FreeProbing {
  private readonly contact = new ContactTracker(STEADY);
  private readonly keys = new KeyQuestions();
  private declared: Declared | null = null;
  private asked: Asked | null = null;
  /** A question that was answered with no: the same reading again asks for the next place. */
  private refused: Asked | null = null;
  /** What stands on the probes has been dealt with; something new begins with a lift or an edge. */
  private done = false;
  private known: Known[] = [];
  private newest_s = 0;
  private idleSince_s: number | null = null;
  private hold = false;

  /** Where the probes go next; null: nobody says. */
  declare(place: Declared | null): void {
    this.declared = place;
    this.asked = null;
    this.refused = null;
    this.done = false;
    this.keys.drop();
  }

  push(reading: TimedReading): FreeEvent[] {
    const quantity = quantityOf(reading);
    if (quantity === null) return [];
    this.newest_s = reading.time_s;
    const was = this.hold;
    this.hold = reading.flags.includes("hold");
    // With HOLD on the meter shows a frozen number: it says yes, and nothing of the probes.
    if (this.hold) return was ? [] : this.keyPressed(reading, quantity);
    const asks = was && this.keys.armed ? this.keyReleased(quantity) : [];
    this.contact.push(reading);
    if (this.contact.state === "lifted" || this.contact.touch !== "value") {
      return [...asks, ...this.lifted()];
    }
    this.keys.drop();
    const { rest } = this.contact;
    if (rest === null) return this.asked === null ? this.idle("restless") : [];
    if (this.asked !== null) return this.stayed(this.asked, rest.mean);
    if (!this.done) return this.begins(quantity, rest.mean);
    const edge = this.edge(quantity, rest.mean);
    return edge.length > 0 || this.known.length === 0 ? edge : this.idle("standing");
  }

  /** The places for what was held, the likeliest first. Late answers, after a lift, are dropped. */
  offer(held: HeldReading, matches: readonly Match[]): FreeEvent[] {
    if (held.dead) return this.keys.ask(held, matches, this.newest_s);
    if (!this.done || this.asked !== null) return [];
    return this.ask(held, matches, 0);
  }

  private begins(quantity: HeldReading["quantity"], value: number): FreeEvent[] {
    this.done = true;
    this.idleSince_s = null;
    return this.holds({ quantity, value, from: null, dead: false });
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

  /** The probes have stayed where they are, so that it is the trigger that made the difference. */
  private edge(quantity: HeldReading["quantity"], value: number): FreeEvent[] {
    const [newest] = this.known;
    const held = { quantity, value, from: newest?.place ?? null, dead: false };
    if (newest === undefined || this.known.some((one) => isSame(one.held, held))) return [];
    return this.holds(held);
  }

  private ask(held: HeldReading, matches: readonly Match[], at: number): FreeEvent[] {
    this.refused = null;
    if (matches[at] === undefined) return [{ kind: "unmatched", held }];
    this.asked = { held, matches, at, since_s: this.newest_s };
    const by = held.from === null ? "staying" : "letting-go";
    return [{ kind: "ask", held, matches, at, by }];
  }

  private stayed(asked: Asked, mean: number): FreeEvent[] {
    const now = { ...asked.held, value: mean };
    if (!isSame(asked.held, now)) {
      const letGo = asked.held.from !== null && this.known.some((one) => isSame(one.held, now));
      if (letGo) return this.confirmed(asked, "let-go");
      this.asked = null;
      this.done = false;
      this.known = [];
      return [];
    }
    if (this.newest_s - asked.since_s < STAY_S) return [];
    return this.confirmed(asked, "stayed");
  }

  /** HOLD says yes to a question; with a place declared it takes what shows, a dead circuit too. */
  private keyPressed(reading: TimedReading, quantity: HeldReading["quantity"]): FreeEvent[] {
    if (this.asked !== null) return this.confirmed(this.asked, "hold-key");
    const answer = this.keys.pressed();
    if (answer !== null) {
      if (answer.kind === "go-on") return [answer];
      return this.take(answer.held, answer.match, "hold-key");
    }
    if (this.declared === null) {
      this.keys.armed = this.contact.state === "lifted";
      return [];
    }
    const held = { quantity, value: reading.value, from: null, dead: false };
    if (held.value === null && quantity === "voltage") return [];
    return this.take(held, this.declared, "hold-key");
  }

  /** HOLD on and off with nothing on the probes: it may be a dead circuit. */
  private keyReleased(quantity: HeldReading["quantity"]): FreeEvent[] {
    this.keys.armed = false;
    const value = quantity === "voltage" ? 0 : null;
    return [{ kind: "held", held: { quantity, value, from: null, dead: true } }];
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
    this.idleSince_s = null;
    // A place that was confirmed by a key alone had nothing on it that could change.
    if (!held.dead) this.known = [{ held, place }, ...this.known];
    return [{ kind: "taken", taken: { held, place, how, time_s: this.newest_s } }];
  }

  private lifted(): FreeEvent[] {
    if (this.done) this.idleSince_s = null;
    this.done = false;
    this.known = [];
    const asks = this.keys.waited(this.newest_s);
    if (this.asked !== null) {
      this.refused = this.asked;
      this.asked = null;
      return [...asks, { kind: "refused" }];
    }
    return [...asks, ...this.idle("waiting")];
  }

  /** Said once, until something happens. */
  private idle(kind: "waiting" | "standing" | "restless"): FreeEvent[] {
    if (this.keys.asking) this.idleSince_s = this.newest_s;
    this.idleSince_s ??= this.newest_s;
    if (this.newest_s - this.idleSince_s < IDLE_S) return [];
    this.idleSince_s = Infinity;
    return [{ kind }];
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

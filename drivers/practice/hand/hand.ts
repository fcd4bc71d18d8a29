import type { Chance } from "../random.js";
import type { HandRequest } from "./request.js";

/** Where the probes are: on two points, on each other, or in the air (null). */
export type Place = { readonly red: string; readonly black: string } | "together" | null;

/** What the hand can touch at the bench. */
export interface Workplace {
  /** Lifts both probes (null) or puts them down. */
  place(at: Place, asMarked: boolean): void;
  /** Knob positions on the way to this one; [] when it is there already. */
  dialWay(dial: HandRequest["dial"]): readonly number[];
  turnDial(index: number): void;
  pressHold(): void;
  readonly holding: boolean;
  squeeze(squeezed: boolean): void;
  /** Speed of the shaft by hand, rad/s; null: let go. */
  turnShaft(speed: number | null): void;
  /** Puts pack, charger, case, mains and motor into this state. */
  prepare(condition: HandRequest["condition"]): void;
}

/** One movement: after so long, do this. */
interface Move {
  readonly after_s: number;
  readonly act: () => void;
}

const KNOWN: Place = { red: "known-plus", black: "known-minus" };

/** Slow turning by hand with rests, as one does when watching a meter. */
const TURN = { speed: 0.5, turn_s: 0.6, rest_s: 0.35 };

/** How long a person waits before working the trigger while nobody says a word. */
const UNASKED_SQUEEZE_S = 3;

/**
 * The simulated person: does what is asked, with the delays of one. Deterministic: chance comes
 * from its own stream, time from the bench.
 */
export class Hand {
  #moves: Move[] = [];
  /** Where the probes are now, and where they will be when all moves are done. */
  #place: Place = null;
  #planned: Place = null;
  #squeezed = false;
  #asked = "";
  #step: string | undefined;
  #asMarked = false;
  #condition = "";

  constructor(
    private readonly workplace: Workplace,
    private readonly chance: Chance,
  ) {}

  get place(): Place {
    return this.#place;
  }

  /** Takes a request; one that repeats the last changes nothing. */
  follow(request: HandRequest): void {
    const asked = JSON.stringify(request);
    if (asked === this.#asked) return;
    this.#asked = asked;
    this.#asMarked = request.asMarked === true;
    this.#moves = [];
    this.#planned = this.#place;
    this.workplace.turnShaft(null);
    const holding = this.workplace.holding;
    if (holding) this.#letHoldGo(this.#human(0.5, 0.9));
    if (this.#squeezed && !this.#maySqueezeOn(request)) this.#release();
    this.#arrange(request);
    // Asked for the key while the meter holds, in the midst of a step: to let it go and carry on.
    const clears = holding && request.action === "hold-key" && request.step === this.#step;
    this.#step = request.step;
    this.#act(clears ? { ...request, action: "touch" } : request);
  }

  advance(dt_s: number): void {
    const next = this.#moves[0];
    if (next === undefined) return;
    if (next.after_s > dt_s) {
      this.#moves[0] = { ...next, after_s: next.after_s - dt_s };
      return;
    }
    this.#moves.shift();
    next.act();
  }

  #then(after_s: number, act: () => void): void {
    this.#moves.push({ after_s, act });
  }

  #human(low_s: number, high_s: number): number {
    return this.chance.between(low_s, high_s);
  }

  /** A trigger that is being worked at these very points is not let go for another word. */
  #maySqueezeOn({ red, black, condition, action }: HandRequest): boolean {
    if (condition.trigger === "squeezed") return true;
    if (condition.trigger === "released" || action === "release") return false;
    return same(this.#place, { red, black });
  }

  /** Tool and dial as the request wants them. Hands that open a case cannot hold probes. */
  #arrange({ condition, dial }: HandRequest): void {
    const { pack, charger, case: housing, mains, motor } = condition;
    const key = [pack, charger, housing, mains, motor].join(" ");
    if (key !== this.#condition) {
      this.#moveTo(null);
      this.#then(this.#human(1.5, 2.5), () => {
        this.#condition = key;
        this.workplace.prepare(condition);
      });
    }
    const way = this.workplace.dialWay(dial);
    if (way.length > 0) this.#moveTo(null);
    way.forEach((index, n) => {
      const after_s = n === 0 ? this.#human(0.4, 0.7) : this.#human(0.12, 0.3);
      this.#then(after_s, () => this.workplace.turnDial(index));
    });
  }

  #act(request: HandRequest): void {
    const points: Place = { red: request.red, black: request.black };
    switch (request.action) {
      case "touch":
      case "return":
        this.#settleOn(points, request);
        break;
      case "lift":
        this.#moveTo(null);
        break;
      case "reseat":
        this.#moveTo(null);
        this.#settleOn(points, request);
        break;
      case "known-source":
        this.#tap(KNOWN, request.touches);
        break;
      case "together":
        this.#tap("together", request.touches);
        break;
      case "squeeze":
        this.#moveTo(points);
        this.#work(this.#human(0.25, 0.5), this.#human(4, 5));
        break;
      case "release":
        break;
      case "turn-shaft":
        this.#moveTo(points);
        this.#turn(this.#human(0.3, 0.6));
        break;
      case "hold-key":
        this.#pressHold();
    }
  }

  /** Touches so many times, as one counts on fingers; stays on where no number was asked. */
  #tap(place: Place, touches: number | undefined): void {
    if (touches !== undefined) this.#moveTo(null);
    this.#moveTo(place);
    for (let n = 1; n < (touches ?? 1); n += 1) {
      this.#put(this.#human(1.7, 1.9), null);
      // The display has to come down first: at once on ohms, while the input empties on volts.
      const gap_s = place === "together" ? 0.35 : 0.75;
      this.#put(this.#human(gap_s, gap_s + 0.1), place);
    }
    if (touches !== undefined) this.#put(this.#human(1.7, 1.9), null);
    if (touches !== undefined) this.#planned = null;
  }

  #settleOn(points: Place, { condition }: HandRequest): void {
    // Both hands are on the probes: a strap keeps the trigger squeezed, put on before.
    if (condition.trigger === "squeezed" && !this.#squeezed) {
      this.#then(this.#human(0.3, 0.6), () => this.#setTrigger(true));
    }
    this.#moveTo(points);
    if (condition.trigger === "worked") this.#work(UNASKED_SQUEEZE_S * this.#human(1, 1.2));
    if (condition.shaft === "turned-by-hand") this.#turn(this.#human(0.5, 0.9));
  }

  #moveTo(place: Place): void {
    if (same(place, this.#planned)) return;
    if (this.#planned !== null) this.#put(this.#human(0.1, 0.25), null);
    if (place !== null) this.#put(this.#human(0.6, 1.2), place);
    this.#planned = place;
  }

  #put(after_s: number, place: Place): void {
    this.#then(after_s, () => {
      this.#place = place;
      this.workplace.place(place, this.#asMarked);
    });
  }

  #pressHold(): void {
    this.#moveTo(null);
    this.#then(this.#human(0.3, 0.6), () => {
      this.workplace.pressHold();
      this.#letHoldGo(this.#human(1, 1.5));
    });
  }

  /** Sees that the meter still holds and presses the key once more. */
  #letHoldGo(after_s: number): void {
    this.#then(after_s, () => this.workplace.pressHold());
  }

  /**
   * Squeezes, holds, lets go; again while nobody says anything else. Who is told to hold does so
   * until told to let go, or until the hand is tired.
   */
  #work(after_s: number, hold_s = this.#human(1.6, 2.1)): void {
    if (!this.#squeezed) this.#then(after_s, () => this.#setTrigger(true));
    this.#then(hold_s, () => {
      this.#setTrigger(false);
      this.#work(UNASKED_SQUEEZE_S * this.#human(1, 1.3));
    });
  }

  #release(): void {
    this.#then(this.#human(0.15, 0.3), () => this.#setTrigger(false));
  }

  #setTrigger(squeezed: boolean): void {
    this.#squeezed = squeezed;
    this.workplace.squeeze(squeezed);
  }

  #turn(after_s: number): void {
    this.#then(after_s, () => this.workplace.turnShaft(TURN.speed));
    this.#then(TURN.turn_s * this.#human(0.7, 1.3), () => {
      this.workplace.turnShaft(0);
      this.#turn(TURN.rest_s * this.#human(0.8, 1.2));
    });
  }
}

function same(a: Place, b: Place): boolean {
  if (a === null || b === null || a === "together" || b === "together") return a === b;
  return a.red === b.red && a.black === b.black;
}

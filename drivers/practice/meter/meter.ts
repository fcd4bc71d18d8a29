import { prefixExponent } from "../../../protocols/reading.js";
import type { Coupling, Flag, Quantity } from "../../../protocols/reading.js";
import type { Display } from "../../../protocols/segment-14/encode.js";
import type { Chance } from "../random.js";
import { Conversion } from "./conversion.js";
import type { DialFunction, Range, TestSource } from "./ranges.js";

/** What the meter measures with: its sockets, or the jaws of a clamp (ampere for volts). */
export interface Front {
  readonly volt: number;
  /** Test source of ohms and diode; null for volts. */
  test: TestSource | null;
}

export interface Position {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
}

/** Reading noise, counts (standard deviation). */
const NOISE_COUNTS = 0.35;
/** Below this, continuity beeps. */
const BEEP_OHM = 30;
/** The display shows nothing for so long after the knob clicked. */
const BLANK_S = 0.12;
/** While it looks for its range, the meter converts faster than it displays. */
const RANGING_S = 0.09;
/** Share of a range below which the next more sensitive one is taken. */
const DOWN = 0.09;

/**
 * The simulated meter between its sockets and its display: it averages what stands at the input,
 * ranges by itself, has an error of gain that stays, and holds when its key is pressed.
 */
export class Meter {
  #at: number;
  #range = 0;
  #held: Display | null = null;
  #blank_s = 0;
  /** Time since the range was changed while the right one is not yet found; null: found. */
  #ranging_s: number | null = null;
  readonly #conversion: Conversion;
  readonly #gain: readonly number[];

  constructor(
    private readonly front: Front,
    private readonly dial: readonly DialFunction[],
    interval_s: number,
    private readonly chance: Chance,
  ) {
    this.#conversion = new Conversion(interval_s);
    this.#at = Math.max(
      0,
      dial.findIndex((f) => f.coupling === "dc"),
    );
    // The maker allows twice what this meter has: most meters are better than their data sheet.
    this.#gain = dial.map((f) => 1 + chance.between(-0.5, 0.5) * f.accuracy.share);
    this.#select(0);
  }

  get position(): Position {
    return { quantity: this.#function.quantity, coupling: this.#function.coupling };
  }

  /** Positions that the knob passes on its way to this one, the last included; [] if unknown. */
  wayTo(position: Position): readonly number[] {
    const to = this.dial.findIndex((f) => fits(f, position));
    if (to < 0 || to === this.#at) return [];
    const step = Math.sign(to - this.#at);
    return Array.from({ length: Math.abs(to - this.#at) }, (_, n) => this.#at + step * (n + 1));
  }

  /** The knob clicks into this position. HOLD does not survive it. */
  turnTo(index: number): void {
    this.#at = Math.min(Math.max(index, 0), this.dial.length - 1);
    this.#held = null;
    this.#blank_s = BLANK_S;
    this.#select(0);
  }

  pressHold(): void {
    this.#held = this.#held === null ? this.#display() : null;
  }

  get holding(): boolean {
    return this.#held !== null;
  }

  /** After the network was solved: the conversion goes on. */
  take(dt_s: number): void {
    this.#blank_s = Math.max(0, this.#blank_s - dt_s);
    this.#conversion.take(this.front.volt, dt_s);
    if (this.#ranging_s === null) return;
    this.#ranging_s += dt_s;
    if (this.#ranging_s >= RANGING_S) this.#findRange(this.#display());
  }

  /** The end of a conversion: what the display now shows; null while it is blank. */
  convert(): Display | null {
    const display = this.#display();
    this.#findRange(display);
    this.#conversion.restart();
    if (this.#blank_s > 0) return null;
    if (this.#held === null) return display;
    return { ...this.#held, flags: [...this.#held.flags, "hold"] };
  }

  get #function(): DialFunction {
    return this.dial[this.#at] ?? failing();
  }

  get #rangeNow(): Range {
    return this.#function.ranges[this.#range] ?? failing();
  }

  #select(range: number): void {
    this.#range = Math.min(Math.max(range, 0), this.#function.ranges.length - 1);
    this.front.test = this.#rangeNow.test ?? null;
    this.#conversion.restart();
  }

  /** Goes one range up or down where this one does not fit. */
  #findRange({ counts }: Display): void {
    const over = counts === "overload" && this.#range < this.#function.ranges.length - 1;
    const under =
      counts !== "overload" && this.#range > 0 && Math.abs(counts) < this.#rangeNow.counts * DOWN;
    this.#ranging_s = over || under ? 0 : null;
    if (over || under) this.#select(this.#range + (over ? 1 : -1));
  }

  #display(): Display {
    const range = this.#rangeNow;
    const exact = this.#value(range) * (this.#gain[this.#at] ?? 1);
    const counts = exact / 10 ** exponentOf(range) + NOISE_COUNTS * this.chance.normal();
    const over = Math.abs(counts) >= range.counts;
    return {
      ...this.position,
      prefix: range.prefix,
      decimals: range.decimals,
      counts: over ? "overload" : Math.round(counts) + 0,
      negative: over && counts < 0,
      flags: this.#flags(counts < BEEP_OHM / 10 ** exponentOf(range)),
    };
  }

  #flags(low: boolean): readonly Flag[] {
    if (this.#function.ranges.length > 1) return ["auto"];
    return this.#function.quantity === "continuity" && low ? ["beep"] : [];
  }

  #value(range: Range): number {
    if (this.#function.quantity === "diode") return this.#conversion.mean;
    if (range.test !== undefined) return ohmsFrom(this.#conversion.mean, range.test);
    return this.#function.coupling === "ac" ? this.#conversion.alternating : this.#conversion.mean;
  }
}

/** What an ohms function makes of the voltage at its input; nonsense on a live circuit, as real. */
function ohmsFrom(volt: number, test: TestSource): number {
  const ampere = (1 - volt / test.volt) * test.ampere;
  // A foreign voltage beyond the own source turns the current round: the display overflows.
  if (ampere <= test.ampere * 1e-4) return Number.POSITIVE_INFINITY;
  return Math.max(0, volt / ampere);
}

/** Exponent of one count in the unit itself. */
function exponentOf(range: Range): number {
  return prefixExponent(range.prefix) - range.decimals;
}

function fits(f: DialFunction, position: Position): boolean {
  return f.quantity === position.quantity && (position.coupling ?? f.coupling) === f.coupling;
}

function failing(): never {
  throw new RangeError("dial position outside its table");
}

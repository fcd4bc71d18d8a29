import type { Condition } from "../plan/schema.js";

/**
 * The power path of a kind of tool as data: what is connected to what, where a probe can reach,
 * how each part behaves when healthy and in each fault mode. The reasoning knows only this.
 */
export interface ToolModel {
  readonly kind: string;
  readonly title: string;
  readonly nominal_V: number;
  /** In order from supply to work. */
  readonly parts: readonly Part[];
  /** In order along the path. */
  readonly points: readonly Point[];
  readonly elements: readonly Element[];
  /** Ways in which tools of this kind differ although nothing is wrong (a silent charger). */
  readonly manners: readonly Manner[];
  readonly conditions: readonly NamedCondition[];
  readonly sightings: readonly Sighting[];
  /** The measurements that make sense, in the fixed order from supply to work. */
  readonly probes: readonly Probe[];
}

/**
 * A plan's condition, and four states of the bench that a plan has no word for: a known good pack in
 * the tool, the tool's own pack on its charger or on a load of its own, in the tool with a lamp
 * across the switch input. `at-motor`: a known supply feeds the motor directly at its terminals, its
 * leads off the switch.
 */
export type BenchCondition = Omit<Condition, "pack"> & {
  readonly pack:
    "in" | "out" | "known-good" | "on-charger" | "on-load" | "in-with-lamp" | "at-motor";
};

/** True where every named field has one of the listed values; `{}` is always true. */
export type Where = { readonly [K in keyof BenchCondition]?: readonly BenchCondition[K][] };

/** How far the tool must be taken apart: a case state of the plan schema. */
export type Access = BenchCondition["case"];

/**
 * What a value is likely to be in a healthy tool (or in a fault mode): normal for `linear` (sd in
 * the value's unit), log-normal for `log` (`centre` is the median, sd that of the natural log).
 */
export interface Spread {
  readonly centre: number;
  readonly sd: number;
  readonly scale: "linear" | "log";
  /** Standard deviation of what moves all sources of the tool together (their charge), volts. */
  readonly shared?: number;
}

interface Resistor {
  readonly kind: "resistor";
  readonly id: string;
  readonly a: string;
  readonly b: string;
  readonly ohm: Spread;
  readonly when?: Where;
}
/** A voltage behind a resistance. */
interface Source {
  readonly kind: "source";
  readonly id: string;
  /** Plus. */
  readonly a: string;
  /** Minus. */
  readonly b: string;
  readonly volt: Spread;
  readonly ohm: Spread;
  readonly when?: Where;
  /** Its protection may switch it off above this current, amperes. */
  readonly trip_A?: number;
  /** It gives no more than this, amperes: above it the voltage falls, or a fuse blows. */
  readonly limit_A?: number;
}
/**
 * A permanent-magnet motor without load: a winding at rest; once its current exceeds what friction
 * takes, it turns and draws that current, the rest of the voltage being back-EMF.
 */
interface Motor {
  readonly kind: "motor";
  readonly id: string;
  readonly a: string;
  readonly b: string;
  readonly ohm: Spread;
  readonly noLoad_A: Spread;
  readonly when?: Where;
  /** Its electronics may give up above this current, amperes, until the trigger is let go. */
  readonly trip_A?: number;
}
export type Element = Resistor | Source | Motor;

/** From … to, spread evenly over the logarithm (ohms, amperes) or the value (volts). */
export type Range = readonly [low: number, high: number];

export interface Effect {
  readonly element: string;
  readonly ohm?: Range | "open" | "short";
  readonly volt?: Range;
  /** All sources that have this effect lie at the same place of the range. */
  readonly alike?: true;
  readonly noLoad_A?: Range;
  /** The shaft does not turn. */
  readonly stalled?: true;
  /** Only under these conditions; always where absent. */
  readonly when?: Where;
}

type FaultKind =
  | "open"
  | "high-resistance"
  | "short"
  | "intermittent"
  | "dead"
  | "flat"
  | "weak"
  | "tripped-protection"
  | "asleep"
  | "earthed"
  | "overvoltage"
  | "rippling"
  | "jam"
  | "slipping";

export interface FaultMode {
  readonly id: FaultKind;
  /** Completes "the pack is …". */
  readonly words: string;
  /**
   * Odds of this fault against the part being healthy, for a tool that comes in for repair.
   * Shop experience, no source; learnable.
   */
  readonly odds: number;
  /** What mends it, where that is no new part. */
  readonly mend?: "charge";
  /** Alternative ways in which it happens, equally likely (brush a or brush b). */
  readonly ways: readonly (readonly Effect[])[];
  /**
   * For intermittent faults: how likely one touch shows it at rest, several samples while the
   * contact is moved, and one settled reading while the tool runs.
   */
  readonly shows?: { readonly still: number; readonly moved: number; readonly running: number };
}

export interface Part {
  readonly id: string;
  readonly label: string;
  readonly access: Access;
  readonly modes: readonly FaultMode[];
}

export interface Manner {
  readonly id: string;
  readonly words: string;
  readonly probability: number;
  readonly effects: readonly Effect[];
  /** Parts that such a tool does not have: they cannot be at fault. */
  readonly without?: readonly string[];
}

export interface Point {
  readonly id: string;
  readonly label: string;
  readonly access: Access;
  /** The point that it is electrically the same as, where it is not one of its own. */
  readonly at?: string;
  /** The part that lies just before this point on the path; null at the supply. */
  readonly after: string | null;
}

export interface NamedCondition {
  readonly id: string;
  readonly label: string;
  readonly condition: BenchCondition;
}

/** Something a person sees or feels rather than measures. */
export interface Sighting {
  readonly id: string;
  readonly label: string;
  readonly values: readonly string[];
  readonly condition: string;
  /** How far the tool must be open to look; closed where absent. */
  readonly access?: Access;
  /**
   * `motor`: follows from whether the motor turns (values yes, slowly, jerks, no);
   * `table`: `otherwise`, unless an override's fault is present.
   */
  readonly from: "motor" | "table";
  readonly otherwise: Readonly<Record<string, number>>;
  readonly overrides: readonly Override[];
  /** What is seen of tools with this manner instead. */
  readonly ofManner?: { readonly manner: string; readonly p: Readonly<Record<string, number>> };
  /** What is seen where the tool does not get this voltage: without it nothing else can show. */
  readonly fed?: {
    readonly red: string;
    readonly black: string;
    readonly least_V: number;
    readonly otherwise: Readonly<Record<string, number>>;
  };
  /** What is seen is what that one shows, a moment later along the drive; an override breaks this. */
  readonly follows?: string;
  /** Seconds of looking, once the tool is as far open as it must be. */
  readonly cost_s: number;
  /** Steps of a plan that ask the same, and which of their choices is which value. */
  readonly looks: readonly {
    readonly step: string;
    readonly values: Readonly<Record<string, string>>;
  }[];
  /**
   * Steps of a plan whose reading says the same, where the reading itself is of a kind that the
   * network does not predict (AC of a chopped wave, a junction): how it lies to the step's limits.
   */
  readonly readings?: readonly {
    readonly step: string;
    readonly values: Partial<Readonly<Record<ReadingPlace, string>>>;
  }[];
}

/** Where a judged reading lies: `nothing` is a proved zero, or over range on ohms and diode test. */
export type ReadingPlace = "within" | "below" | "above" | "nothing";

export interface Override {
  readonly part: string;
  readonly mode: FaultKind;
  /** Only those ways of the mode that change this element. */
  readonly element?: string;
  readonly p: Readonly<Record<string, number>>;
}

export interface Probe {
  readonly quantity: "voltage" | "resistance";
  readonly red: string;
  readonly black: string;
  /** A named condition of the model. */
  readonly condition: string;
  /** What else has to be done first, as it is said. */
  readonly first?: string;
}

export function holds(where: Where | undefined, condition: BenchCondition): boolean {
  if (where === undefined) return true;
  return Object.entries(where).every(([field, allowed]) =>
    (allowed as readonly string[]).includes(condition[field as keyof BenchCondition]),
  );
}

/** Anywhere from `low` to `high`, and all that are spread so lie nearly at the same place there. */
export function together(low: number, high: number): Spread {
  const { centre, sd, scale } = between(low, high);
  return { centre, sd: ALIKE_V, scale, shared: sd };
}

/** How far sound cell groups of one pack differ, volts: common practice, no source. */
const ALIKE_V = 0.05;

/** About `centre`, two thirds of all within a factor of `factor`. */
export function about(centre: number, factor: number): Spread {
  return { centre, sd: Math.log(factor), scale: "log" };
}

/** Anywhere from `low` to `high` (same mean and standard deviation as the even spread). */
export function between(low: number, high: number): Spread {
  return { centre: (low + high) / 2, sd: (high - low) / Math.sqrt(12), scale: "linear" };
}

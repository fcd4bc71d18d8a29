import { holds } from "../models/model.js";
import type { BenchCondition, Spread } from "../models/model.js";
import { Circuit } from "./circuit.js";
import type { Change, Solution } from "./circuit.js";
import type { Options } from "./column.js";
import type { Compiled, FixedEffect } from "./compile.js";
import type { Hypothesis } from "./hypotheses.js";

/** Stands for a branch that carries nothing, ohms. */
export const OPEN_OHM = 2e10;

/** A tool under one condition: the healthy circuit, and what has been solved from it. */
export interface Scene {
  readonly condition: BenchCondition;
  /** Element of each branch of the circuit. */
  readonly elements: readonly number[];
  readonly branchOf: ReadonlyMap<number, number>;
  readonly circuit: Circuit;
  /** Branch of the motor, or null. */
  readonly motor: number | null;
  /** Per variant and per manner: its effects under this condition. */
  readonly variantEffects: readonly (readonly FixedEffect[])[];
  readonly mannerEffects: readonly (readonly FixedEffect[])[];
  readonly regions: Map<string, Region>;
}

/**
 * What is connected to either of two points. Nothing outside moves a reading between them, so that
 * most sets of faults are the same case there and are solved once.
 */
export interface Region {
  /** Per variant and per manner: whether it can show here. */
  readonly variantShows: readonly boolean[];
  readonly mannerShows: readonly boolean[];
  readonly states: Map<string, State>;
  readonly stateOf: Map<Hypothesis, State>;
}

export interface State {
  readonly solution: Solution;
  readonly ohm: ReadonlyMap<number, Spread>;
  readonly volt: ReadonlyMap<number, Spread>;
  /** What friction takes, while the motor turns; null at standstill. */
  readonly noLoad: Spread | null;
  /** Back-EMF over nominal voltage; 0 at standstill. */
  readonly speed: number;
  /** Per measurement what it may show. */
  readonly options: Map<string, Options>;
  /** The same once the protection of the source has acted; null where it has no reason to. */
  readonly tripped: State | null;
}

export function makeScene(compiled: Compiled, condition: BenchCondition): Scene {
  const elements = compiled.elements.flatMap((element, index) =>
    holds(element.when, condition) ? [index] : [],
  );
  const branches = elements.map((index) => {
    const element = compiled.elements[index];
    if (element === undefined) throw new RangeError(`no element ${index}`);
    const volt = element.kind === "source" ? element.volt.centre : 0;
    return { a: element.from, b: element.to, ohm: element.ohm.centre, volt };
  });
  const motor = elements.findIndex((index) => compiled.elements[index]?.kind === "motor");
  const showing = ({ effects }: { effects: readonly FixedEffect[] }): FixedEffect[] =>
    effects.filter((effect) => shows(compiled, condition, effect));
  return {
    condition,
    elements,
    branchOf: new Map(elements.map((element, branch) => [element, branch])),
    circuit: new Circuit(compiled.nodes.size, branches),
    motor: motor < 0 ? null : motor,
    variantEffects: compiled.variants.map(showing),
    mannerEffects: compiled.manners.map(showing),
    regions: new Map(),
  };
}

export function regionOf(compiled: Compiled, scene: Scene, p: number, q: number): Region {
  const { islands } = scene.circuit;
  const inside = [islands[p], islands[q]];
  const key = inside.join(" ");
  const known = scene.regions.get(key);
  if (known !== undefined) return known;
  const touches = (effects: readonly FixedEffect[]): boolean =>
    effects.some(({ element }) => inside.includes(islands[compiled.elements[element]?.from ?? -1]));
  const made: Region = {
    variantShows: scene.variantEffects.map(touches),
    mannerShows: scene.mannerEffects.map(touches),
    states: new Map(),
    stateOf: new Map(),
  };
  scene.regions.set(key, made);
  return made;
}

function shows(compiled: Compiled, condition: BenchCondition, effect: FixedEffect): boolean {
  const element = compiled.elements[effect.element];
  return holds(effect.when, condition) && holds(element?.when, condition);
}

/** The changed branches; a turning motor draws its current and is otherwise not there. */
export function changesFor(
  scene: Scene,
  ohm: ReadonlyMap<number, Spread>,
  volt: ReadonlyMap<number, Spread>,
  running_A: number | null,
): Change[] {
  const touched = new Set([...ohm.keys(), ...volt.keys()].map((e) => scene.branchOf.get(e) ?? -1));
  if (running_A !== null && scene.motor !== null) touched.add(scene.motor);
  return [...touched].map((branch) => {
    const element = scene.elements[branch] ?? -1;
    const built = scene.circuit.branches[branch];
    const turning = running_A !== null && branch === scene.motor;
    return {
      branch,
      ohm: turning ? OPEN_OHM : (ohm.get(element)?.centre ?? built?.ohm ?? 1),
      volt: volt.get(element)?.centre ?? built?.volt ?? 0,
      sink_A: turning ? running_A : 0,
    };
  });
}

export function motorLoad({ elements }: Compiled, scene: Scene): Spread | null {
  const element = scene.motor === null ? undefined : elements[scene.elements[scene.motor] ?? -1];
  return element?.kind === "motor" ? element.noLoad_A : null;
}

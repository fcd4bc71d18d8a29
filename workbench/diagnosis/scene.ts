import { holds } from "../models/model.js";
import type { BenchCondition, Spread } from "../models/model.js";
import { Circuit } from "./circuit.js";
import type { Change, Solution } from "./circuit.js";
import type { Prediction } from "./column.js";
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
  readonly states: Map<string, State>;
  readonly stateOf: WeakMap<Hypothesis, State>;
  /** Per variant and per manner: whether it can show here. */
  readonly variantShows: readonly boolean[];
  readonly mannerShows: readonly boolean[];
}

export interface State {
  readonly solution: Solution;
  readonly ohm: ReadonlyMap<number, Spread>;
  readonly volt: ReadonlyMap<number, Spread>;
  /** What friction takes, while the motor turns; null at standstill. */
  readonly noLoad: Spread | null;
  /** Back-EMF over nominal voltage; 0 at standstill. */
  readonly speed: number;
  readonly predictions: Map<string, Prediction>;
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
  const touches = ({ effects }: { effects: readonly FixedEffect[] }): boolean =>
    effects.some((effect) => shows(compiled, condition, effect));
  return {
    condition,
    elements,
    branchOf: new Map(elements.map((element, branch) => [element, branch])),
    circuit: new Circuit(compiled.nodes.size, branches),
    motor: motor < 0 ? null : motor,
    states: new Map(),
    stateOf: new WeakMap(),
    variantShows: compiled.variants.map(touches),
    mannerShows: compiled.manners.map(touches),
  };
}

export function shows(compiled: Compiled, condition: BenchCondition, effect: FixedEffect): boolean {
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

import { about } from "../models/model.js";
import type { Spread } from "../models/model.js";
import type { Compiled, CompiledManner, FixedEffect, Variant } from "./compile.js";
import { OPEN_OHM, changesFor, motorLoad } from "./scene.js";
import type { Scene, State } from "./scene.js";
import type { Options } from "./column.js";

/** How far a supply that limits, or the fuse in its lead, brings the voltage down: anything below. */
const LIMITED_FACTOR = 3;
/** A source whose protection has acted, ohms. */
const TRIPPED: Spread = { centre: OPEN_OHM, sd: 0.5, scale: "log" };

/** What is different from the healthy tool: by element, and what friction takes. */
interface Altered {
  readonly ohm: ReadonlyMap<number, Spread>;
  readonly volt: ReadonlyMap<number, Spread>;
  /** null: the shaft is held fast. */
  readonly noLoad: Spread | null;
}

/** The operating point of a tool under one condition with these causes (faults, manners). */
export function solve(
  compiled: Compiled,
  scene: Scene,
  manners: readonly CompiledManner[],
  faults: readonly Variant[],
): State {
  const effects = [
    ...manners.flatMap(({ index }) => scene.mannerEffects[index] ?? []),
    ...faults.flatMap(({ index }) => scene.variantEffects[index] ?? []),
  ];
  const altered = alteredBy(compiled, scene, effects);
  const state = operate(compiled, scene, altered);
  return { ...state, tripped: trip(compiled, scene, state, altered) };
}

function alteredBy(compiled: Compiled, scene: Scene, effects: readonly FixedEffect[]): Altered {
  const ohm = new Map<number, Spread>();
  const volt = new Map<number, Spread>();
  let noLoad = motorLoad(compiled, scene);
  for (const effect of effects) {
    if (effect.ohm !== undefined) ohm.set(effect.element, effect.ohm);
    // Of two faults that leave a source less voltage the worse one decides.
    const before = volt.get(effect.element)?.centre ?? Infinity;
    if (effect.volt !== undefined && effect.volt.centre < before) {
      volt.set(effect.element, effect.volt);
    }
    if (effect.noLoad_A !== undefined) noLoad = effect.noLoad_A;
  }
  if (effects.some((effect) => effect.stalled === true)) noLoad = null;
  return { ohm, volt, noLoad };
}

/** Standing or turning, whichever the current at standstill decides. */
function operate(compiled: Compiled, scene: Scene, { ohm, volt, noLoad }: Altered): State {
  const standstill = scene.circuit.with(changesFor(scene, ohm, volt, null));
  const rest = { ohm, volt, tripped: null, options: new Map<string, Options>() };
  const still = { ...rest, solution: standstill, noLoad: null, speed: 0 };
  if (scene.motor === null || noLoad === null) return still;
  if (Math.abs(standstill.current(scene.motor)) <= noLoad.centre) return still;
  const solution = scene.circuit.with(changesFor(scene, ohm, volt, noLoad.centre));
  const winding = scene.circuit.branches[scene.motor];
  const element = scene.elements[scene.motor] ?? 0;
  const winding_ohm = ohm.get(element)?.centre ?? winding?.ohm ?? 0;
  const across = solution.voltage(winding?.a ?? 0, winding?.b ?? 0);
  const backEmf = Math.max(0, across - noLoad.centre * winding_ohm);
  return { ...rest, solution, noLoad, speed: backEmf / compiled.model.nominal_V };
}

/**
 * The same once the electronics of a motor have given up, or else the protection of a source has
 * acted; null where none has a reason to.
 */
function trip(compiled: Compiled, scene: Scene, state: State, altered: Altered): State | null {
  // What lies nearer to the load acts first: the motor's electronics before the source.
  for (const kind of ["motor", "source"] as const) {
    for (const [branch, element] of scene.elements.entries()) {
      const one = compiled.elements[element];
      if (one?.kind !== kind) continue;
      const limit_A = one.kind === "source" ? one.limit_A : undefined;
      const most_A = limit_A ?? one.trip_A ?? Infinity;
      if (Math.abs(state.solution.current(branch)) <= most_A) continue;
      const ohm =
        one.kind === "source" && limit_A !== undefined
          ? about(one.volt.centre / limit_A, LIMITED_FACTOR)
          : TRIPPED;
      return operate(compiled, scene, {
        ...altered,
        ohm: new Map([...state.ohm, [element, ohm]]),
      });
    }
  }
  return null;
}

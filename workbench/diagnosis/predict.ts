import { holds } from "../models/model.js";
import type { BenchCondition, Spread } from "../models/model.js";
import { Circuit } from "./circuit.js";
import { Column } from "./column.js";
import type { Prediction } from "./column.js";
import type { Change, Solution } from "./circuit.js";
import type { Compiled, FixedEffect } from "./compile.js";
import { extended, upToDoubles } from "./hypotheses.js";
import type { Hypothesis } from "./hypotheses.js";
import type { Measured } from "./observation.js";
import { scaleOf } from "./scale.js";
import { unknownPlaces } from "./unknowns.js";
import type { Places } from "./unknowns.js";

type Raw = Pick<Prediction, "mean" | "loads">;

export type Target = Pick<Measured, "quantity" | "red" | "black" | "condition">;

/** Input resistance of a hand-held meter on volts, ohms: common practice, no source. */
const METER_OHM = 10e6;
/** Test leads with their contacts, shared by every resistance of a job, ohms. */
const LEADS: Spread = { centre: 0.25, sd: 0.15, scale: "linear" };
/** Stands for a branch that carries nothing, ohms. */
const OPEN_OHM = 2e10;
/** A source whose protection has acted, ohms. */
const TRIPPED: Spread = { centre: OPEN_OHM, sd: 0.5, scale: "log" };

/** A tool under one condition: the healthy circuit, and what has been solved from it. */
interface Scene {
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

interface State {
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

/**
 * Predicts readings of one model. Deterministic; remembers what it has solved, so keep one per
 * model for as long as a job lasts.
 */
export class Predictor {
  private readonly scenes = new Map<string, Scene>();
  private readonly columns = new Map<string, Column>();
  private readonly more = new WeakMap<Hypothesis, readonly Hypothesis[]>();
  private readonly interned = new Map<string, Prediction>();
  private readonly unknowns: number;
  private readonly places: Places;
  /** No, one and two faults, made once. */
  readonly doubles: readonly Hypothesis[];

  /** No and one fault. */
  readonly singles: readonly Hypothesis[];

  constructor(readonly compiled: Compiled) {
    this.doubles = upToDoubles(compiled);
    this.singles = this.doubles.filter((one) => one.faults.length < 2);
    this.places = unknownPlaces(compiled);
    this.unknowns = this.places.count;
  }

  /** The hypothesis with one more fault, for each that is possible; made once. */
  extended(base: Hypothesis): readonly Hypothesis[] {
    const known = this.more.get(base);
    if (known !== undefined) return known;
    const made = extended(this.compiled, base);
    this.more.set(base, made);
    return made;
  }

  predict(target: Target, hypothesis: Hypothesis): Prediction {
    return this.column(target).options(hypothesis)[0].prediction;
  }

  /** All that is known and will be asked of one measurement; the same object for equal targets. */
  column(target: Target): Column {
    const key = targetKey(target);
    const known = this.columns.get(key);
    if (known !== undefined) return known;
    const scene = this.scene(target.condition);
    const predict = (state: State): Prediction => {
      const done = state.predictions.get(key);
      if (done !== undefined) return done;
      const made = this.intern(key, target.quantity, this.measure(target, scene, state));
      state.predictions.set(key, made);
      return made;
    };
    const column = new Column(target.condition, (hypothesis) => {
      const state = this.state(scene, hypothesis);
      const normal = predict(state);
      return state.tripped === null ? [normal] : [normal, predict(state.tripped)];
    });
    this.columns.set(key, column);
    return column;
  }

  /** Back-EMF over nominal voltage: about 1 when the motor runs free, 0 when it stands. */
  speed(condition: BenchCondition, hypothesis: Hypothesis): number {
    return this.state(this.scene(condition), hypothesis).speed;
  }

  private state(scene: Scene, hypothesis: Hypothesis): State {
    const known = scene.stateOf.get(hypothesis);
    if (known !== undefined) return known;
    // Faults that cannot show under this condition do not make a new case of it.
    const faults = hypothesis.faults.filter((fault) => scene.variantShows[fault.index]);
    const manners = hypothesis.manners.filter((manner) => scene.mannerShows[manner.index]);
    const key = `${indices(faults)}/${indices(manners)}`;
    const state = scene.states.get(key) ?? this.solve(scene, [...manners, ...faults]);
    scene.states.set(key, state);
    scene.stateOf.set(hypothesis, state);
    return state;
  }

  private scene(condition: BenchCondition): Scene {
    const key = conditionKey(condition);
    const known = this.scenes.get(key);
    if (known !== undefined) return known;
    const made = makeScene(this.compiled, condition);
    this.scenes.set(key, made);
    return made;
  }

  private solve(scene: Scene, causes: readonly { effects: readonly FixedEffect[] }[]): State {
    const { compiled } = this;
    const effects = causes
      .flatMap((cause) => cause.effects)
      .filter((effect) => shows(compiled, scene.condition, effect));
    const ohm = new Map<number, Spread>();
    const volt = new Map<number, Spread>();
    let noLoad = motorLoad(compiled, scene);
    let stalled = false;
    for (const effect of effects) {
      if (effect.ohm !== undefined) ohm.set(effect.element, effect.ohm);
      if (effect.volt !== undefined) volt.set(effect.element, effect.volt);
      if (effect.noLoad_A !== undefined) noLoad = effect.noLoad_A;
      if (effect.stalled === true) stalled = true;
    }
    const state = this.operate(scene, ohm, volt, stalled ? null : noLoad);
    return { ...state, tripped: this.trip(scene, state, stalled ? null : noLoad) };
  }

  /** Standing or turning, whichever the current at standstill decides. */
  private operate(
    scene: Scene,
    ohm: ReadonlyMap<number, Spread>,
    volt: ReadonlyMap<number, Spread>,
    noLoad: Spread | null,
  ): State {
    const standstill = scene.circuit.with(changesFor(scene, ohm, volt, null));
    const rest = { ohm, volt, tripped: null, predictions: new Map<string, Prediction>() };
    const still = { ...rest, solution: standstill, noLoad: null, speed: 0 };
    if (scene.motor === null || noLoad === null) return still;
    if (Math.abs(standstill.current(scene.motor)) <= noLoad.centre) return still;
    const solution = scene.circuit.with(changesFor(scene, ohm, volt, noLoad.centre));
    const winding = scene.circuit.branches[scene.motor];
    const element = scene.elements[scene.motor] ?? 0;
    const winding_ohm = ohm.get(element)?.centre ?? winding?.ohm ?? 0;
    const across = solution.voltage(winding?.a ?? 0, winding?.b ?? 0);
    const backEmf = Math.max(0, across - noLoad.centre * winding_ohm);
    return { ...rest, solution, noLoad, speed: backEmf / this.compiled.model.nominal_V };
  }

  private trip(scene: Scene, state: State, noLoad: Spread | null): State | null {
    const over = scene.elements.find((element, branch) => {
      const source = this.compiled.elements[element];
      if (source?.kind !== "source" || source.trip_A === undefined) return false;
      return Math.abs(state.solution.current(branch)) > source.trip_A;
    });
    if (over === undefined) return null;
    return this.operate(scene, new Map([...state.ohm, [over, TRIPPED]]), state.volt, noLoad);
  }

  private measure(target: Target, scene: Scene, state: State): Raw {
    const p = this.node(target.red);
    const q = this.node(target.black);
    const response = state.solution.response(p, q);
    const ohm = state.solution.resistance(p, q, response);
    const loads = new Float64Array(this.unknowns);
    if (target.quantity === "resistance") {
      this.loadOhms(scene, state, response, loads);
      return { mean: ohm + LEADS.centre, loads };
    }
    const share = 1 / (1 + ohm / METER_OHM);
    const mean = state.solution.voltage(p, q) * share;
    this.loadVolts(scene, state, response, { share, mean }, loads);
    return { mean, loads };
  }

  private loadVolts(
    scene: Scene,
    state: State,
    response: Float64Array,
    { share, mean }: { readonly share: number; readonly mean: number },
    loads: Float64Array,
  ): void {
    const { nodes, branches } = scene.circuit;
    scene.elements.forEach((element, branch) => {
      const answer = (response[nodes + branch] ?? 0) * share;
      if (branch === scene.motor && state.noLoad !== null) {
        const { a, b } = branches[branch] ?? { a: 0, b: 0 };
        const transfer = ((response[a] ?? 0) - (response[b] ?? 0)) * share;
        loads[loads.length - 1] = -transfer * deviation(state.noLoad);
        return;
      }
      const ohm = this.ohmOf(state, element);
      // The branch's own drop, and the meter's load on what lies behind it.
      const meter = (mean * answer * answer) / share / METER_OHM;
      const place = this.places.ohm(element, state.ohm.has(element));
      loads[place] = (answer * state.solution.current(branch) - meter) * deviation(ohm);
      const volt = this.voltOf(state, element);
      if (volt !== null) {
        loads[this.places.volt(element, state.volt.has(element))] = answer * volt.sd;
      }
    });
  }

  private loadOhms(scene: Scene, state: State, response: Float64Array, loads: Float64Array): void {
    scene.elements.forEach((element, branch) => {
      const answer = response[scene.circuit.nodes + branch] ?? 0;
      const place = this.places.ohm(element, state.ohm.has(element));
      loads[place] = answer * answer * deviation(this.ohmOf(state, element));
    });
    loads[loads.length - 2] = LEADS.sd;
  }

  private ohmOf(state: State, element: number): Spread {
    return state.ohm.get(element) ?? this.compiled.elements[element]?.ohm ?? LEADS;
  }

  private voltOf(state: State, element: number): Spread | null {
    const own = this.compiled.elements[element];
    return state.volt.get(element) ?? (own?.kind === "source" ? own.volt : null);
  }

  /** Equal predictions become one object, so that equal hypotheses are weighed only once. */
  private intern(target: string, quantity: Target["quantity"], { mean, loads }: Raw): Prediction {
    let first = 0;
    let second = 0;
    loads.forEach((load, k) => {
      const rounded = Math.round(load * 1e4);
      first += rounded * (k + 1);
      second += rounded * ((k * 7 + 3) % 23);
    });
    const key = `${target} ${mean.toPrecision(5)} ${Math.round(mean * 1e4)} ${first} ${second}`;
    const known = this.interned.get(key);
    if (known !== undefined) return known;
    const scale = scaleOf(quantity);
    const slope = scale.slope(mean);
    const made = {
      id: this.interned.size,
      mean,
      scaled: scale.at(mean),
      loads: loads.map((load) => load * slope),
    };
    this.interned.set(key, made);
    return made;
  }

  private node(point: string): number {
    const node = this.compiled.nodes.get(point);
    if (node === undefined) throw new RangeError(`no point ${point}`);
    return node;
  }
}

function makeScene(compiled: Compiled, condition: BenchCondition): Scene {
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

function shows(compiled: Compiled, condition: BenchCondition, effect: FixedEffect): boolean {
  const element = compiled.elements[effect.element];
  return holds(effect.when, condition) && holds(element?.when, condition);
}

/** The changed branches; a turning motor draws its current and is otherwise not there. */
function changesFor(
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

function motorLoad({ elements }: Compiled, scene: Scene): Spread | null {
  const element = scene.motor === null ? undefined : elements[scene.elements[scene.motor] ?? -1];
  return element?.kind === "motor" ? element.noLoad_A : null;
}

/** One standard deviation in the value's own unit, near its centre. */
function deviation(spread: Spread): number {
  return spread.scale === "log" ? spread.centre * spread.sd : spread.sd;
}

function indices(items: readonly { readonly index: number }[]): string {
  return items.map((item) => item.index).join(" ");
}

function targetKey({ quantity, red, black, condition }: Target): string {
  return `${quantity} ${red} ${black} ${conditionKey(condition)}`;
}

export function conditionKey(c: BenchCondition): string {
  return `${c.trigger} ${c.pack} ${c.charger} ${c.shaft} ${c.mains}`;
}

import { holds } from "../models/model.js";
import type { BenchCondition, Spread } from "../models/model.js";
import type { Compiled, CompiledManner, FixedEffect, Variant } from "./compile.js";
import { Network } from "./network.js";
import type { Branch, Sink } from "./network.js";
import type { Measured } from "./observation.js";

/** A set of faults, with the manner in which this tool is built where that is not known. */
export interface Hypothesis {
  readonly faults: readonly Variant[];
  readonly manners: readonly CompiledManner[];
  /** Prior odds against the healthy tool. */
  readonly odds: number;
}

export interface Prediction {
  /** Volts or ohms. */
  readonly mean: number;
  /** How far the reading moves for one standard deviation of each unknown value. */
  readonly loads: Float64Array;
}

export type Target = Pick<Measured, "quantity" | "red" | "black" | "condition">;

/** Input resistance of a hand-held meter on volts, ohms: common practice, no source. */
const METER_OHM = 10e6;
/** Test leads with their contacts, shared by every resistance of a job, ohms. */
const LEADS: Spread = { centre: 0.25, sd: 0.15, scale: "linear" };

interface State {
  readonly network: Network;
  readonly active: readonly boolean[];
  readonly ohm: readonly Spread[];
  readonly volt: readonly (Spread | null)[];
  readonly noLoad: Spread | null;
  readonly motor: number | null;
  /** Back-EMF over nominal voltage; 0 at standstill. */
  readonly speed: number;
}

/**
 * Predicts readings of one model. Deterministic; remembers what it has solved, so keep one per
 * model for as long as a job lasts.
 */
export class Predictor {
  private readonly states = new Map<string, State>();
  private readonly predictions = new Map<string, Prediction>();
  readonly unknowns: number;

  constructor(readonly compiled: Compiled) {
    this.unknowns = compiled.elements.length * 2 + 2;
  }

  predict(target: Target, hypothesis: Hypothesis): Prediction {
    const key = `${target.quantity} ${target.red} ${target.black} ${this.stateKey(target.condition, hypothesis)}`;
    const known = this.predictions.get(key);
    if (known !== undefined) return known;
    const made = this.measure(target, this.state(target.condition, hypothesis));
    return remember(this.predictions, key, made, 400_000);
  }

  /** Back-EMF over nominal voltage: about 1 when the motor runs free, 0 when it stands. */
  speed(condition: BenchCondition, hypothesis: Hypothesis): number {
    return this.state(condition, hypothesis).speed;
  }

  private state(condition: BenchCondition, hypothesis: Hypothesis): State {
    const key = this.stateKey(condition, hypothesis);
    const known = this.states.get(key);
    if (known !== undefined) return known;
    return remember(this.states, key, this.solve(condition, hypothesis), 4_000);
  }

  /** Faults that cannot show under this condition do not make a new case of it. */
  private stateKey(condition: BenchCondition, { faults, manners }: Hypothesis): string {
    let key = conditionKey(condition);
    for (const fault of faults) if (this.shows(condition, fault.effects)) key += ` f${fault.index}`;
    for (const manner of manners) {
      if (this.shows(condition, manner.effects)) key += ` m${manner.index}`;
    }
    return key;
  }

  private shows(condition: BenchCondition, effects: readonly FixedEffect[]): boolean {
    return effects.some(
      (effect) =>
        holds(effect.when, condition) &&
        holds(this.compiled.elements[effect.element]?.when, condition),
    );
  }

  private solve(condition: BenchCondition, { faults, manners }: Hypothesis): State {
    const { elements, nodes, model } = this.compiled;
    const ohm = elements.map((element) => element.ohm);
    const volt = elements.map((element) => (element.kind === "source" ? element.volt : null));
    const active = elements.map((element) => holds(element.when, condition));
    const motor = elements.findIndex((element, index) => element.kind === "motor" && active[index]);
    let noLoad = motorLoad(this.compiled, motor);
    let stalled = false;
    for (const effect of [...manners, ...faults].flatMap((item) => item.effects)) {
      if (!holds(effect.when, condition)) continue;
      if (effect.ohm !== undefined) ohm[effect.element] = effect.ohm;
      if (effect.volt !== undefined) volt[effect.element] = effect.volt;
      if (effect.noLoad_A !== undefined) noLoad = effect.noLoad_A;
      if (effect.stalled === true) stalled = true;
    }
    const branches = elements.map(({ from, to }, index) => ({
      a: from,
      b: to,
      ohm: ohm[index]?.centre ?? 1,
      volt: volt[index]?.centre ?? 0,
    }));
    const flowing = branches.filter((_, index) => active[index]);
    const network = new Network(nodes.size, flowing);
    const state = { active, ohm, volt, motor: motor < 0 ? null : motor };
    const running =
      motor < 0 || stalled || noLoad === null
        ? null
        : run(nodes.size, branches, active, motor, noLoad.centre, network, model.nominal_V);
    return running === null
      ? { ...state, network, noLoad: null, speed: 0 }
      : { ...state, ...running, noLoad };
  }

  private measure(target: Target, state: State): Prediction {
    const p = this.node(target.red);
    const q = this.node(target.black);
    return target.quantity === "voltage" ? this.voltage(state, p, q) : this.resistance(state, p, q);
  }

  private voltage(state: State, p: number, q: number): Prediction {
    const { network } = state;
    const share = 1 / (1 + network.resistance(p, q) / METER_OHM);
    const loads = new Float64Array(this.unknowns);
    this.compiled.elements.forEach((element, index) => {
      if (state.active[index] !== true) return;
      const ohm = state.ohm[index] ?? LEADS;
      const running = index === state.motor && state.noLoad !== null;
      const transfer = network.transferResistance(p, q, element.from, element.to) * share;
      if (running) {
        loads[loads.length - 1] = -transfer * deviation(state.noLoad);
        return;
      }
      const volt = state.volt[index] ?? null;
      const across = network.voltage(element.from, element.to) - (volt?.centre ?? 0);
      const g = 1 / ohm.centre;
      loads[index] = transfer * g * across * relative(ohm);
      if (volt !== null) loads[this.compiled.elements.length + index] = transfer * g * volt.sd;
    });
    return { mean: network.voltage(p, q) * share, loads };
  }

  private resistance(state: State, p: number, q: number): Prediction {
    const loads = new Float64Array(this.unknowns);
    this.compiled.elements.forEach((element, index) => {
      if (state.active[index] !== true) return;
      const ohm = state.ohm[index] ?? LEADS;
      const transfer = state.network.transferResistance(p, q, element.from, element.to);
      loads[index] = ((transfer * transfer) / ohm.centre) * relative(ohm);
    });
    loads[loads.length - 2] = LEADS.sd;
    return { mean: state.network.resistance(p, q) + LEADS.centre, loads };
  }

  private node(point: string): number {
    const node = this.compiled.nodes.get(point);
    if (node === undefined) throw new RangeError(`no point ${point}`);
    return node;
  }
}

function motorLoad({ elements }: Compiled, motor: number): Spread | null {
  const element = elements[motor];
  return element?.kind === "motor" ? element.noLoad_A : null;
}

/** The motor turning, if what flows at standstill exceeds what friction takes; else null. */
function run(
  nodes: number,
  branches: readonly Branch[],
  active: readonly boolean[],
  motor: number,
  noLoad_A: number,
  standstill: Network,
  nominal_V: number,
): { network: Network; speed: number } | null {
  const winding = branches[motor];
  if (winding === undefined) return null;
  const atRest_A = Math.abs(standstill.voltage(winding.a, winding.b)) / winding.ohm;
  if (atRest_A <= noLoad_A) return null;
  const sink: Sink = { a: winding.a, b: winding.b, ampere: noLoad_A };
  const rest = branches.filter((_, index) => active[index] && index !== motor);
  const network = new Network(nodes, rest, [sink]);
  const backEmf_V = network.voltage(winding.a, winding.b) - noLoad_A * winding.ohm;
  return { network, speed: Math.max(0, backEmf_V / nominal_V) };
}

/** One standard deviation in the value's own unit, near its centre. */
function deviation(spread: Spread | null): number {
  if (spread === null) return 0;
  return spread.scale === "log" ? spread.centre * spread.sd : spread.sd;
}

/** One standard deviation as a share of the value. */
function relative(spread: Spread): number {
  return spread.scale === "log" ? spread.sd : spread.sd / spread.centre;
}

export function conditionKey(c: BenchCondition): string {
  return `${c.trigger} ${c.pack} ${c.charger} ${c.shaft} ${c.mains}`;
}

function remember<T>(into: Map<string, T>, key: string, value: T, most: number): T {
  if (into.size >= most) into.clear();
  into.set(key, value);
  return value;
}

import { conditionKey } from "../models/conditions.js";
import type { BenchCondition } from "../models/model.js";
import { Column, optionsOf } from "./column.js";
import type { Options, Prediction } from "./column.js";
import type { Compiled } from "./compile.js";
import { Hypotheses, extended, indices } from "./hypotheses.js";
import type { Hypothesis } from "./hypotheses.js";
import { loadsOf } from "./gaussian.js";
import { Gauge } from "./loads.js";
import type { Raw } from "./loads.js";
import type { Measured } from "./observation.js";
import { scaleOf } from "./scale.js";
import { makeScene, regionOf } from "./scene.js";
import type { Region, Scene, State } from "./scene.js";
import { solve } from "./solve.js";
import { unknownPlaces } from "./unknowns.js";

export type Target = Pick<Measured, "quantity" | "red" | "black" | "condition">;

/**
 * Predicts readings of one model. Deterministic; remembers what it has solved, so keep one per
 * model for as long as a job lasts.
 */
export class Predictor {
  private readonly scenes = new Map<string, Scene>();
  private readonly columns = new Map<string, Column>();
  private readonly more = new Map<Hypothesis, readonly Hypothesis[]>();
  private readonly interned = new Map<string, Prediction>();
  private readonly gauge: Gauge;
  readonly hypotheses: Hypotheses;
  /** No, one and two faults. */
  readonly doubles: readonly Hypothesis[];
  /** No and one fault. */
  readonly singles: readonly Hypothesis[];

  constructor(readonly compiled: Compiled) {
    this.hypotheses = new Hypotheses(compiled);
    this.doubles = this.hypotheses.doubles;
    this.singles = this.doubles.filter((one) => one.faults.length < 2);
    this.gauge = new Gauge(compiled, unknownPlaces(compiled));
  }

  /** The hypothesis with one more fault, for each that is possible; made once. */
  extended(base: Hypothesis): readonly Hypothesis[] {
    const known = this.more.get(base);
    if (known !== undefined) return known;
    const made = extended(this.compiled, this.hypotheses, base);
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
    const made = this.makeColumn(target, key);
    this.columns.set(key, made);
    return made;
  }

  /** Back-EMF over nominal voltage: about 1 when the motor runs free, 0 when it stands. */
  speed(condition: BenchCondition, hypothesis: Hypothesis): number {
    const scene = this.scene(condition);
    if (scene.motor === null) return 0;
    const branch = scene.circuit.branches[scene.motor];
    const region = regionOf(this.compiled, scene, branch?.a ?? 0, branch?.b ?? 0);
    return this.state(scene, region, hypothesis).speed;
  }

  private makeColumn({ quantity, red, black, condition }: Target, key: string): Column {
    const scene = this.scene(condition);
    const touch = { quantity, red: this.node(red), black: this.node(black) };
    const predict = (state: State): Prediction =>
      this.intern(key, quantity, this.gauge.measure(touch, scene, state));
    const optionsIn = (state: State): Options => {
      const known = state.options.get(key);
      if (known !== undefined) return known;
      const { tripped } = state;
      const made = optionsOf(predict(state), tripped === null ? null : predict(tripped));
      state.options.set(key, made);
      return made;
    };
    const region = regionOf(this.compiled, scene, touch.red, touch.black);
    return new Column(condition, this.hypotheses, (hypothesis) =>
      optionsIn(this.state(scene, region, hypothesis)),
    );
  }

  private state(scene: Scene, region: Region, hypothesis: Hypothesis): State {
    const known = region.stateOf.get(hypothesis);
    if (known !== undefined) return known;
    // Faults that cannot show here do not make a new case of it.
    const faults = hypothesis.faults.filter((fault) => region.variantShows[fault.index]);
    const manners = hypothesis.manners.filter((manner) => region.mannerShows[manner.index]);
    const key = `${indices(faults)}/${indices(manners)}`;
    const state = region.states.get(key) ?? solve(this.compiled, scene, manners, faults);
    region.states.set(key, state);
    region.stateOf.set(hypothesis, state);
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

  /** Equal predictions become one object, so that equal hypotheses are weighed only once. */
  private intern(target: string, quantity: Target["quantity"], { mean, loads }: Raw): Prediction {
    const key = `${target} ${mean.toPrecision(5)} ${Math.round(mean * 1e4)} ${digest(loads)}`;
    const known = this.interned.get(key);
    if (known !== undefined) return known;
    const scale = scaleOf(quantity);
    const slope = scale.slope(mean);
    const made = {
      id: this.interned.size,
      mean,
      scaled: scale.at(mean),
      loads: loadsOf(loads.map((load) => load * slope)),
    };
    this.interned.set(key, made);
    return made;
  }

  private node(point: string): number {
    const node = this.compiled.pointNodes.get(point);
    if (node === undefined) throw new RangeError(`no point ${point}`);
    return node;
  }
}

/** All loads that move the reading, rounded: equal only where every one of them is. */
function digest(loads: Float64Array): string {
  let text = "";
  for (let k = 0; k < loads.length; k += 1) {
    const rounded = Math.round((loads[k] ?? 0) * 1e4);
    if (rounded !== 0) text += `${k}:${rounded} `;
  }
  return text;
}

function targetKey({ quantity, red, black, condition }: Target): string {
  return `${quantity} ${red} ${black} ${conditionKey(condition)}`;
}

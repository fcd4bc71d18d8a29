import { normalCdf } from "../distributions.js";
import { edgesOf } from "./edges.js";
import type { Edge } from "./edges.js";
import {
  heldBack,
  jumpThrough,
  passAlike,
  passThrough,
  restingFilter,
  weighBack,
} from "./held-back.js";
import type { HoldingBack } from "./held-back.js";
import { takeBack } from "./steadied.js";
import type { Steadied } from "./steadied.js";

/** Voltage and current of a pack under load, both with their signs put right. */
export interface LoadedTrace {
  readonly t: Float64Array;
  readonly v: Float64Array;
  readonly current: Steadied;
  /** Standard deviations of one reading. */
  readonly noise_V: number;
  readonly noise_A: number;
}

/**
 * Charge of a peak unseen between readings, in the current after it times the interval. So wide
 * that the readings decide: some 1 for a motor at 10 readings a second.
 */
const HIDDEN_SHARE = 3;

/** Branch currents that are kept. */
const RECENT = 64;

/**
 * v = E − R·i − Σ Rj·xj with τj·dxj/dt = i − xj, and the residuals of a fit of it. Parameters: E;
 * −R; for each branch −Rj and its time constant, encoded; for each edge where in its interval it
 * fell; for each edge that may hide a peak the charge of that. The last two are scaled to have a
 * standard normal distribution beforehand, which counts as one more residual each.
 */
export class SourceModel {
  readonly swing: number;
  readonly edges: readonly Edge[];
  readonly step_s: number;
  readonly span_s: number;
  readonly #trace: LoadedTrace;
  readonly #edgeAt: Int32Array;
  /** Time constant with which the current bends in the interval before each reading. */
  readonly #bends_s: Float64Array;
  readonly #hiding: readonly number[];
  readonly #weights: Float64Array;
  readonly #recent = new Map<string, Float64Array>();

  constructor(trace: LoadedTrace) {
    const { t } = trace;
    const i = trace.current.values;
    const n = t.length;
    this.#trace = trace;
    this.span_s = n > 1 ? (t[n - 1] as number) - (t[0] as number) : 0;
    this.step_s = this.span_s / Math.max(1, n - 1);
    this.swing = i.reduce((a, b) => Math.max(a, b), -Infinity) - i.reduce((a, b) => Math.min(a, b));
    this.edges = this.swing > 0 ? edgesOf(t, i, trace.current.resting) : [];
    this.#edgeAt = new Int32Array(n).fill(-1);
    this.#bends_s = new Float64Array(n).fill(Infinity);
    this.edges.forEach(({ at, until, runUp_s }, k) => {
      this.#edgeAt[at] = k;
      this.#bends_s.fill(runUp_s, at + 1, until);
    });
    this.#hiding = this.edges.flatMap(({ mayHide }, k) => (mayHide ? [k] : []));
    this.#weights = new Float64Array(n);
    this.weigh(0);
  }

  /** How many parameters say where the edges fell and what they hide. */
  get unseen(): number {
    return this.edges.length + this.#hiding.length;
  }

  /** Noise in the current is noise in the voltage by way of the resistance. */
  weigh(resistance: number): void {
    const { noise_V, current } = this.#trace;
    for (let k = 0; k < this.#weights.length; k++) {
      this.#weights[k] = 1 / Math.hypot(noise_V, resistance * (current.noise[k] as number));
    }
  }

  weightOf(k: number): number {
    return this.#weights[k] as number;
  }

  encode(tau_s: number): number {
    return Math.log(tau_s / this.step_s) + 3;
  }

  decode(parameter: number): number {
    return this.step_s * Math.exp(parameter - 3);
  }

  /** The branch's current for one time constant. A derivative asks for the same ones many times. */
  branch(tau_s: number, unseen: readonly number[]): Float64Array {
    const key = [tau_s, ...unseen].join();
    const known = this.#recent.get(key);
    if (known !== undefined) return known;
    const x = heldBack(this.#filter(tau_s, unseen), this.#trace.current.values);
    if (this.#recent.size >= RECENT) this.#recent.clear();
    this.#recent.set(key, x);
    return x;
  }

  residuals(p: readonly number[], count: number): Float64Array {
    const { v, current } = this.#trace;
    const n = v.length;
    const unseen = p.slice(2 + 2 * count);
    const result = new Float64Array(n + unseen.length);
    for (let k = 0; k < n; k++) {
      const i = current.values[k] as number;
      result[k] = (v[k] as number) - (p[0] as number) - (p[1] as number) * i;
    }
    for (let j = 0; j < count; j++) {
      const factor = p[2 + 2 * j] as number;
      const x = this.branch(this.decode(p[3 + 2 * j] as number), unseen);
      for (let k = 0; k < n; k++) result[k] = (result[k] as number) - factor * (x[k] as number);
    }
    for (let k = 0; k < n; k++) result[k] = (result[k] as number) * (this.#weights[k] as number);
    unseen.forEach((value, k) => (result[n + k] = value));
    return result;
  }

  /**
   * What a sum of the weighted residuals, each times `weights`, takes from the noise of each
   * current as it was read. Noise that a mean or a branch carries on hangs together over many
   * residuals: this, not their scatter, says what it does to a parameter.
   */
  currentWeights(p: readonly number[], count: number, weights: Float64Array): Float64Array {
    const n = this.#trace.v.length;
    const scaled = weights.map((w, k) => w * (this.#weights[k] as number));
    const steady = new Float64Array(n);
    for (let k = 0; k < n; k++) steady[k] = (p[1] as number) * (scaled[k] as number);
    for (let j = 0; j < count; j++) {
      const filter = this.#filter(this.decode(p[3 + 2 * j] as number), p.slice(2 + 2 * count));
      weighBack(filter, scaled, p[2 + 2 * j] as number, steady);
    }
    return takeBack(this.#trace.current, steady);
  }

  #filter(tau_s: number, unseen: readonly number[]): HoldingBack {
    const { t } = this.#trace;
    const filter = restingFilter(t.length);
    let before = { dt: Number.NaN, bend_s: Number.NaN };
    for (let k = 1; k < t.length; k++) {
      const edge = this.#edgeAt[k] as number;
      if (edge >= 0) {
        this.#jump(filter, edge, tau_s, unseen);
        before = { dt: Number.NaN, bend_s: Number.NaN };
        continue;
      }
      const dt = (t[k] as number) - (t[k - 1] as number);
      const bend_s = this.#bends_s[k] as number;
      if (Math.abs(dt - before.dt) < 1e-9 && bend_s === before.bend_s) passAlike(filter, k);
      else passThrough(filter, k, dt, tau_s, bend_s);
      before = { dt, bend_s };
    }
    return filter;
  }

  #jump(filter: HoldingBack, k: number, tau_s: number, unseen: readonly number[]): void {
    const { t } = this.#trace;
    const { at, dt, rises, runUp_s } = this.edges[k] as Edge;
    const onward = rises && at + 1 < t.length && (this.#edgeAt[at + 1] as number) < 0;
    const hiding = this.#hiding.indexOf(k);
    const most_As = HIDDEN_SHARE * dt * Math.abs(this.#trace.current.values[at] as number);
    jumpThrough(filter, at, tau_s, {
      // Anywhere in the interval alike: the normal parameter becomes a uniform place.
      after_s: dt * normalCdf(-(unseen[k] ?? 0)),
      dt,
      next_s: onward ? (t[at + 1] as number) - (t[at] as number) : null,
      bend_s: runUp_s,
      hidden_As: hiding < 0 ? 0 : (unseen[this.edges.length + hiding] ?? 0) * most_As,
    });
  }
}

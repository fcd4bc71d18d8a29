import { gridStart, logSpaced } from "../fit/grid.js";
import { WORTH_A_TERM } from "../fit/exponentials.js";
import { nonlinearFit } from "../fit/nonlinear.js";
import type { NonlinearFit } from "../fit/nonlinear.js";

/** Voltage and current of a pack under load, both with their signs put right. */
export interface LoadedTrace {
  readonly t: Float64Array;
  readonly v: Float64Array;
  readonly i: Float64Array;
  /** Standard deviation of one voltage reading. */
  readonly noise_V: number;
  /** Standard deviation of the noise in each current. */
  readonly noise_A: Float64Array;
}

export interface TheveninBranch {
  readonly resistance_ohm: number;
  readonly uResistance_ohm: number;
  readonly tau_s: number;
  readonly uTau_s: number;
}

export interface TheveninFit {
  /** Open-circuit voltage at rest. */
  readonly emf_V: number;
  readonly uEmf_V: number;
  /** The resistance that acts at once. */
  readonly resistance_ohm: number;
  readonly uResistance_ohm: number;
  /** Fastest first; at most two. */
  readonly branches: readonly TheveninBranch[];
  readonly dof: number;
  /** Standard deviation of the residuals, in that of the noise: about 1 where the model fits. */
  readonly spread: number;
}

/**
 * A source with an internal resistance and up to two relaxing branches,
 * v = E − R·i − Σ Rj·xj with τj·dxj/dt = i − xj, fitted by least squares to the whole trace. The
 * current is known at the readings only: where in its interval an edge fell is a parameter of its
 * own, uniform over the interval, so that the interval of R says how much of a fast relaxation
 * the edge hides. Branches are kept while they lower the residuals beyond chance. null where the
 * current never changes or there are too few readings.
 */
export function fitThevenin(trace: LoadedTrace): TheveninFit | null {
  const model = new Model(trace);
  if (trace.t.length < 6 || !(model.swing > 0)) return null;
  let best = model.fit(0);
  for (const count of [1, 2] as const) {
    if (best === null) break;
    const richer = model.fit(count);
    if (richer === null || richer.dof <= 0) break;
    if (richer.branches.some((branch) => branch.resistance_ohm <= 0)) break;
    const gain = best.cost - richer.cost;
    if (gain < (WORTH_A_TERM * richer.cost) / richer.dof) break;
    best = richer;
  }
  return best;
}

/** An interval in which the current jumped. */
interface Edge {
  readonly at: number;
}

class Model {
  readonly swing: number;
  readonly #trace: LoadedTrace;
  readonly #edges: readonly Edge[];
  readonly #edgeAt: Int32Array;
  /** Slope of the current just after each reading, where no edge follows. */
  readonly #slopes: Float64Array;
  /** By how much the mean current of the interval before a reading lies below the straight line. */
  readonly #bends: Float64Array;
  readonly #weights: Float64Array;
  readonly #step: number;
  readonly #span: number;

  constructor(trace: LoadedTrace) {
    const { t, i } = trace;
    const n = t.length;
    this.#trace = trace;
    this.#span = n > 1 ? (t[n - 1] as number) - (t[0] as number) : 0;
    this.#step = this.#span / Math.max(1, n - 1);
    this.swing = i.reduce((a, b) => Math.max(a, b), -Infinity) - i.reduce((a, b) => Math.min(a, b));
    this.#edges = edgesOf(i, 0.15 * this.swing);
    this.#edgeAt = new Int32Array(n).fill(-1);
    this.#edges.forEach(({ at }, k) => (this.#edgeAt[at] = k));
    this.#weights = new Float64Array(n);
    this.#slopes = new Float64Array(n);
    this.#bends = new Float64Array(n);
    this.#shapeCurrent();
  }

  fit(count: 0 | 1 | 2): (TheveninFit & { cost: number }) | null {
    const { v, i } = this.#trace;
    const still = this.#edges.map(() => 0);
    const start = gridStart(
      {
        fixed: [new Float64Array(v.length).fill(1), i],
        column: (tau) => this.#branch(tau, still),
        y: v,
        sensible: ([, ...resistances]) => resistances.every((r) => r < 0),
      },
      logSpaced(1.5 * this.#step, 2 * this.#span, 20),
      count,
    );
    if (start === null) return null;
    const [emf = 0, r = 0, ...branches] = start.linear;
    const taus = start.taus_s.flatMap((tau, j) => [branches[j] as number, this.#encode(tau)]);
    // Without a branch an edge's place changes nothing, and has no parameter.
    const places = count === 0 ? [] : still;
    let fit: NonlinearFit | null = null;
    for (let pass = 0; pass < 2; pass++) {
      this.#weigh(fit?.parameters[1] ?? r);
      fit = nonlinearFit({
        start: fit?.parameters ?? [emf, r, ...taus, ...places],
        residuals: (p) => this.#residuals(p, count),
        iterations: 60,
      });
      if (fit === null) return null;
    }
    return fit === null ? null : this.#read(fit, count);
  }

  /**
   * Between readings the current bends while the motor runs up: of a parabola the mean lies a
   * twelfth of the second difference below the chord. At an edge it is carried back along the
   * slope that follows.
   */
  #shapeCurrent(): void {
    const { t, i } = this.#trace;
    const n = t.length;
    const smooth = (k: number): boolean => k > 0 && k < n && (this.#edgeAt[k] as number) < 0;
    const second = (k: number): number =>
      (i[k + 1] as number) - 2 * (i[k] as number) + (i[k - 1] as number);
    for (let k = 1; k < n; k++) {
      if (smooth(k + 1)) {
        const dt = (t[k + 1] as number) - (t[k] as number);
        const bend = smooth(k + 2) ? second(k + 1) / 2 : 0;
        this.#slopes[k] = dt > 0 ? ((i[k + 1] as number) - (i[k] as number) - bend) / dt : 0;
      }
      if (!smooth(k)) continue;
      const bends = [k - 1, k].filter((m) => smooth(m) && smooth(m + 1)).map(second);
      const mean = bends.reduce((sum, bend) => sum + bend, 0) / Math.max(1, bends.length);
      this.#bends[k] = mean / 12;
    }
  }

  /** The branch's current x for one time constant: the current, held back. */
  #branch(tau: number, shifts: readonly number[]): Float64Array {
    const { t, i } = this.#trace;
    const x = new Float64Array(t.length);
    let state = i[0] as number;
    // A trace that begins under load has relaxed by nobody knows how much; at rest it is zero.
    x[0] = state;
    for (let k = 1; k < t.length; k++) {
      const dt = (t[k] as number) - (t[k - 1] as number);
      const from = i[k - 1] as number;
      const rise = (i[k] as number) - from;
      const keep = Math.exp(-dt / tau);
      const edge = this.#edgeAt[k] as number;
      state = keep * state + (1 - keep) * from;
      if (edge >= 0) {
        const after_s = dt / 2 - (shifts[edge] ?? 0);
        const overshoot = (-(this.#slopes[k] as number) * after_s) / 2;
        state += (rise + overshoot) * (1 - Math.exp(-after_s / tau));
      } else if (dt > 0) {
        state += rise * (1 - ((1 - keep) * tau) / dt) - (1 - keep) * (this.#bends[k] as number);
      }
      x[k] = state;
    }
    return x;
  }

  #residuals(p: readonly number[], count: number): Float64Array {
    const { t, v, i } = this.#trace;
    const n = t.length;
    const shifts = p.slice(2 + 2 * count);
    const result = new Float64Array(n + shifts.length);
    // Factors have the sign of the columns: −R comes as a negative one.
    for (let k = 0; k < n; k++) {
      result[k] = (v[k] as number) - (p[0] as number) - (p[1] as number) * (i[k] as number);
    }
    for (let j = 0; j < count; j++) {
      const factor = p[2 + 2 * j] as number;
      const x = this.#branch(this.#decode(p[3 + 2 * j] as number), shifts);
      for (let k = 0; k < n; k++) {
        result[k] = (result[k] as number) - factor * (x[k] as number);
      }
    }
    for (let k = 0; k < n; k++) result[k] = (result[k] as number) * (this.#weights[k] as number);
    shifts.forEach((shift, k) => {
      result[n + k] = shift / (this.#intervalAt(k) / Math.sqrt(12));
    });
    return result;
  }

  /** Noise in the current is noise in the voltage by way of the resistance. */
  #weigh(resistance: number): void {
    const { noise_V, noise_A } = this.#trace;
    for (let k = 0; k < this.#weights.length; k++) {
      this.#weights[k] = 1 / Math.hypot(noise_V, resistance * (noise_A[k] as number));
    }
  }

  #intervalAt(edge: number): number {
    const at = this.#edges[edge]?.at as number;
    return Math.max(1e-9, (this.#trace.t[at] as number) - (this.#trace.t[at - 1] as number));
  }

  #encode(tau: number): number {
    return Math.log(tau / this.#step) + 3;
  }

  #decode(parameter: number): number {
    return this.#step * Math.exp(parameter - 3);
  }

  #read(fit: NonlinearFit, count: number): TheveninFit & { cost: number } {
    const { parameters: p, covariance, dof } = fit;
    const grown = Math.sqrt(this.#persistence(p, count));
    const u = (j: number): number => grown * Math.sqrt(covariance.get(j, j));
    const branches = Array.from({ length: count }, (_, j) => {
      const tau_s = this.#decode(p[3 + 2 * j] as number);
      return {
        resistance_ohm: -(p[2 + 2 * j] as number),
        uResistance_ohm: u(2 + 2 * j),
        tau_s,
        uTau_s: tau_s * u(3 + 2 * j),
      };
    });
    return {
      emf_V: p[0] as number,
      uEmf_V: u(0),
      resistance_ohm: -(p[1] as number),
      uResistance_ohm: u(1),
      branches: branches.sort((a, b) => a.tau_s - b.tau_s),
      dof: Math.max(0, dof),
      spread: Math.sqrt(fit.residualSumOfSquares / Math.max(1, dof)),
      cost: fit.residualSumOfSquares,
    };
  }

  /** Variance inflation where neighbouring residuals hang together: (1 + ρ)/(1 − ρ). */
  #persistence(p: readonly number[], count: number): number {
    const r = this.#residuals(p, count).subarray(0, this.#trace.t.length);
    let own = 0;
    let lagged = 0;
    for (let k = 0; k < r.length; k++) {
      own += (r[k] as number) ** 2;
      if (k > 0) lagged += (r[k] as number) * (r[k - 1] as number);
    }
    const rho = own > 0 ? Math.min(0.95, lagged / own) : 0;
    return rho > 0 ? (1 + rho) / (1 - rho) : 1;
  }
}

/** Intervals whose change of current is large and dwarfs that of the next: no running up. */
function edgesOf(i: Float64Array, least: number): Edge[] {
  const change = (k: number): number => Math.abs((i[k] as number) - (i[k - 1] as number));
  const edges: Edge[] = [];
  for (let k = 1; k < i.length; k++) {
    const next = k + 1 < i.length ? change(k + 1) : 0;
    if (change(k) > least && change(k) > 2 * next) edges.push({ at: k });
  }
  return edges.slice(0, 40);
}

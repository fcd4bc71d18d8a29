import { Matrix, inverse } from "ml-matrix";
import { gridStart, logSpaced } from "../fit/grid.js";
import { WORTH_A_TERM } from "../fit/exponentials.js";
import { nonlinearFit } from "../fit/nonlinear.js";
import type { NonlinearFit } from "../fit/nonlinear.js";
import { SourceModel } from "./source-model.js";
import type { LoadedTrace } from "./source-model.js";

export interface TheveninBranch {
  readonly resistance_ohm: number;
  readonly uResistance_ohm: number;
  readonly tau_s: number;
  readonly uTau_s: number;
}

export interface TheveninFit {
  /** The resistance that acts at once. */
  readonly resistance_ohm: number;
  readonly uResistance_ohm: number;
  /** Fastest first; at most two. */
  readonly branches: readonly TheveninBranch[];
  readonly dof: number;
}

type Candidate = TheveninFit & { readonly cost: number };

/**
 * A source with an internal resistance and up to two relaxing branches fitted by least squares to
 * the whole trace (see `SourceModel`). The current is known at the readings only: where in its
 * interval an edge fell, and what peak it hid where readings are slow, are parameters of their
 * own, so that the interval of R says how much of a fast relaxation the edge hides. Branches are
 * kept while they lower the residuals beyond chance. null where the current never changes or there
 * are too few readings.
 */
export function fitThevenin(trace: LoadedTrace): TheveninFit | null {
  const model = new SourceModel(trace);
  if (trace.t.length < 6 || !(model.swing > 0)) return null;
  let best = fitBranches(model, trace, 0);
  for (const count of [1, 2] as const) {
    if (best === null) break;
    const richer = fitBranches(model, trace, count);
    if (richer === null || richer.dof <= 0) break;
    if (richer.branches.some((branch) => branch.resistance_ohm <= 0)) break;
    const gain = best.cost - richer.cost;
    if (gain < (WORTH_A_TERM * richer.cost) / richer.dof) break;
    best = richer;
  }
  return best;
}

function fitBranches(model: SourceModel, trace: LoadedTrace, count: 0 | 1 | 2): Candidate | null {
  const { v, current } = trace;
  const start = gridStart(
    {
      fixed: [new Float64Array(v.length).fill(1), current.values],
      column: (tau) => model.branch(tau, []),
      y: v,
      sensible: ([, ...resistances]) => resistances.every((r) => r < 0),
    },
    logSpaced(1.5 * model.step_s, 2 * model.span_s, 20),
    count,
  );
  if (start === null) return null;
  const [emf = 0, r = 0, ...factors] = start.linear;
  const taus = start.taus_s.flatMap((tau, j) => [factors[j] as number, model.encode(tau)]);
  // Without a branch an edge's place changes nothing, and has no parameter.
  const unseen = count === 0 ? [] : new Array<number>(model.unseen).fill(0);
  let parameters: readonly number[] = [emf, r, ...taus, ...unseen];
  let fit: NonlinearFit | null = null;
  for (let pass = 0; pass < 2; pass++) {
    model.weigh(parameters[1] as number);
    const residuals = (p: readonly number[]): Float64Array => model.residuals(p, count);
    fit = nonlinearFit({ start: parameters, residuals, iterations: 60, negligible: 1e-4 });
    if (fit === null) return null;
    parameters = fit.parameters;
  }
  return fit === null ? null : read(model, trace, fit, count);
}

function read(
  model: SourceModel,
  trace: LoadedTrace,
  fit: NonlinearFit,
  count: number,
): Candidate | null {
  const { parameters: p, dof } = fit;
  const variances = varianceOf(model, trace, fit, count);
  if (variances === null) return null;
  const u = (j: number): number => Math.sqrt(variances[j] as number);
  const branches = Array.from({ length: count }, (_, j) => {
    const tau_s = model.decode(p[3 + 2 * j] as number);
    return {
      resistance_ohm: -(p[2 + 2 * j] as number),
      uResistance_ohm: u(2 + 2 * j),
      tau_s,
      uTau_s: tau_s * u(3 + 2 * j),
    };
  });
  return {
    resistance_ohm: -(p[1] as number),
    uResistance_ohm: u(1),
    branches: branches.sort((a, b) => a.tau_s - b.tau_s),
    dof: Math.max(0, dof),
    cost: fit.residualSumOfSquares,
  };
}

/**
 * Variances of the parameters. The weights treat residuals as independent; noise of the current is
 * not, once means and branches carried it on. So the covariance is (JᵀJ)⁻¹·JᵀΣJ·(JᵀJ)⁻¹ with Σ from
 * the noise of each voltage and each current as they were read, scaled by what the residuals say of
 * their size, and grown where neighbouring residuals hang together more than that explains.
 */
function varianceOf(
  model: SourceModel,
  trace: LoadedTrace,
  fit: NonlinearFit,
  count: number,
): number[] | null {
  const { jacobian } = fit;
  const n = trace.v.length;
  const gram = jacobian.transpose().mmul(jacobian);
  const scale = gram.diagonal().map((g) => Math.sqrt(g) || 1);
  const bread = invertScaled(gram, scale);
  if (bread === null) return null;
  const columns = scale.map((_, j) => Float64Array.from(jacobian.getColumn(j)));
  const byVoltage = columns.map((column) =>
    column.map((c, k) => (k < n ? c * model.weightOf(k) * trace.noise_V : c)),
  );
  const byCurrent = columns.map((column) =>
    model
      .currentWeights(fit.parameters, count, column.subarray(0, n))
      .map((w) => w * trace.noise_A),
  );
  const rows = [new Matrix(byVoltage), new Matrix(byCurrent)];
  const meat = rows.map((m) => m.mmul(m.transpose())).reduce((a, b) => a.add(b));
  const size =
    (fit.residualSumOfSquares / Math.max(1, fit.dof)) * persistence(model, trace, fit, count);
  const covariance = bread.mmul(meat).mmul(bread).mul(size);
  return covariance.diagonal();
}

function invertScaled(gram: Matrix, scale: readonly number[]): Matrix | null {
  const down = Matrix.diag(scale.map((s) => 1 / s));
  const scaled = down.mmul(gram).mmul(down);
  try {
    return down.mmul(inverse(scaled)).mmul(down);
  } catch {
    return null;
  }
}

/**
 * Variance inflation where neighbouring residuals hang together, (1 + ρ)/(1 − ρ), beyond what the
 * means of the current explain.
 */
function persistence(
  model: SourceModel,
  { current, noise_A }: LoadedTrace,
  fit: NonlinearFit,
  count: number,
): number {
  const r = model.residuals(fit.parameters, count);
  const n = current.values.length;
  const resistance = fit.parameters[1] as number;
  let own = 0;
  let lagged = 0;
  for (let k = 0; k < n; k++) {
    own += (r[k] as number) ** 2;
    if (k === 0) continue;
    const weight = model.weightOf(k) * model.weightOf(k - 1) * resistance ** 2;
    lagged += (r[k] as number) * (r[k - 1] as number);
    lagged -= weight * current.shared(k) * noise_A ** 2;
  }
  const rho = own > 0 ? Math.min(0.95, lagged / own) : 0;
  return rho > 0 ? (1 + rho) / (1 - rho) : 1;
}

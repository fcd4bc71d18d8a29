import { Matrix, solve } from "ml-matrix";

/** A model that is linear but for its time constants. */
export interface SeparableModel {
  /** Columns that do not depend on a time constant, such as ones. */
  readonly fixed: readonly Float64Array[];
  /** The column of one time constant. */
  readonly column: (tau_s: number) => Float64Array;
  readonly y: Float64Array;
  /** Whether linear factors make sense, such as resistances above zero; all do where absent. */
  readonly sensible?: (linear: readonly number[]) => boolean;
}

export interface GridStart {
  readonly taus_s: readonly number[];
  /** Of the fixed columns, then one for each time constant. */
  readonly linear: readonly number[];
  readonly residualSumOfSquares: number;
}

/** Time constants spread evenly by ratio. */
export function logSpaced(from: number, to: number, n: number): number[] {
  return Array.from({ length: n }, (_, k) => from * (to / from) ** (k / (n - 1)));
}

/**
 * The best start for a fit: every choice of `count` time constants out of `taus_s`, the linear
 * part solved for each. Only a start, so the normal equations will do: all choices share the
 * inner products. null where no choice can be solved.
 */
export function gridStart(
  model: SeparableModel,
  taus_s: readonly number[],
  count: 0 | 1 | 2,
): GridStart | null {
  const columns = [...model.fixed, ...taus_s.map(model.column)];
  const gram = columns.map((a) => columns.map((b) => dot(a, b)));
  const right = columns.map((a) => dot(a, model.y));
  const total = dot(model.y, model.y);
  const base = model.fixed.map((_, j) => j);
  let best: GridStart | null = null;
  for (const choice of choices(taus_s.length, count)) {
    const used = [...base, ...choice.map((c) => base.length + c)];
    const found = solveFor(used, gram, right, total);
    if (found === null || found.rss >= (best?.residualSumOfSquares ?? Infinity)) continue;
    if (model.sensible?.(found.linear) === false) continue;
    const chosen = choice.map((c) => taus_s[c] as number);
    best = { taus_s: chosen, linear: found.linear, residualSumOfSquares: found.rss };
  }
  return best;
}

function choices(n: number, count: 0 | 1 | 2): number[][] {
  if (count === 0) return [[]];
  const singles = Array.from({ length: n }, (_, a) => a);
  if (count === 1) return singles.map((a) => [a]);
  return singles.flatMap((a) => singles.slice(a + 1).map((b) => [a, b]));
}

function solveFor(
  used: readonly number[],
  gram: readonly number[][],
  right: readonly number[],
  total: number,
): { linear: number[]; rss: number } | null {
  const scale = used.map((a) => Math.sqrt(gram[a]?.[a] as number) || 1);
  const a = new Matrix(
    used.map((row, j) =>
      used.map((col, k) => {
        const entry = (gram[row]?.[col] as number) / ((scale[j] as number) * (scale[k] as number));
        return j === k ? entry * (1 + 1e-10) : entry;
      }),
    ),
  );
  const b = used.map((row, j) => (right[row] as number) / (scale[j] as number));
  const scaled = solve(a, Matrix.columnVector(b)).to1DArray();
  const explained = scaled.reduce((sum, s, j) => sum + s * (b[j] as number), 0);
  const linear = scaled.map((s, j) => s / (scale[j] as number));
  return linear.every(Number.isFinite) ? { linear, rss: Math.max(0, total - explained) } : null;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += (a[k] as number) * (b[k] as number);
  return sum;
}

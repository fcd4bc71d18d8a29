/**
 * Means of so many neighbours each that no more than `most` points remain: enough for a fit, whose
 * cost grows with them. The last few that fill no group are left out.
 */
export function thinned(
  t: Float64Array,
  y: Float64Array,
  most: number,
): { readonly t: Float64Array; readonly y: Float64Array; readonly group: number } {
  const group = Math.max(1, Math.ceil(t.length / most));
  if (group === 1) return { t, y, group };
  const n = Math.floor(t.length / group);
  const meanOf = (values: Float64Array): Float64Array =>
    Float64Array.from({ length: n }, (_, k) => {
      const part = values.subarray(k * group, (k + 1) * group);
      return part.reduce((sum, x) => sum + x, 0) / group;
    });
  return { t: meanOf(t), y: meanOf(y), group };
}

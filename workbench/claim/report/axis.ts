/** Even steps of 1, 2 or 5 times a power of ten across a range. */
export interface Axis {
  readonly low: number;
  readonly high: number;
  readonly step: number;
  readonly ticks: readonly number[];
}

/** An axis that covers `low` to `high` with about `wanted` ticks. */
export function axisFor(low: number, high: number, wanted: number): Axis {
  const span = high > low ? high - low : Math.max(Math.abs(high), 1) * 0.1;
  const step = roundStep(span / wanted);
  const from = Math.floor(low / step + 1e-9);
  const to = Math.max(from + 1, Math.ceil(high / step - 1e-9));
  const ticks = Array.from({ length: to - from + 1 }, (_, index) => (from + index) * step);
  return { low: from * step, high: to * step, step, ticks };
}

function roundStep(raw: number): number {
  const power = 10 ** Math.floor(Math.log10(raw));
  const factor = [1, 2, 5, 10].find((candidate) => candidate * power >= raw * 0.999) ?? 10;
  return factor * power;
}

export function tickText(value: number, step: number): string {
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return value.toFixed(decimals).replace("-", "−");
}

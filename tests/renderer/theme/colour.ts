/** sRGB channel to linear light (IEC 61966-2-1). */
function linear(channel: number): number {
  return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
}

export type Linear = readonly [number, number, number];

export function fromHex(hex: string): Linear {
  const at = (place: number): number => linear(parseInt(hex.slice(place, place + 2), 16) / 255);
  return [at(1), at(3), at(5)];
}

/** WCAG 2.2, definition of relative luminance; the weights of ITU-R BT.709. */
function luminance([r, g, b]: Linear): number {
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** WCAG 2.2, definition of contrast ratio. */
export function contrast(one: string, other: string): number {
  const [dark = 0, light = 0] = [luminance(fromHex(one)), luminance(fromHex(other))].sort(
    (a, b) => a - b,
  );
  return (light + 0.05) / (dark + 0.05);
}

type Matrix = readonly [Linear, Linear, Linear];

/**
 * Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision
 * deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009, severity 1.0;
 * acts on linear RGB. The figures are from memory; that each row adds up to one is tested.
 */
export const DEFICIENCIES: Readonly<Record<string, Matrix>> = {
  none: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protanopia: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deuteranopia: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritanopia: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

export function seenWith(matrix: Matrix, [r, g, b]: Linear): Linear {
  const row = (weights: Linear): number =>
    Math.min(1, Math.max(0, weights[0] * r + weights[1] * g + weights[2] * b));
  return [row(matrix[0]), row(matrix[1]), row(matrix[2])];
}

/** CIE 1976 L*a*b* under D65 (ISO/CIE 11664-4), from linear sRGB. */
export function lab([r, g, b]: Linear): Linear {
  const x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047;
  const y = 0.2126729 * r + 0.7151522 * g + 0.072175 * b;
  const z = (0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883;
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  return [116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))];
}

/** CIE 1976 colour difference: 2.3 is just noticeable side by side. */
export function difference(one: Linear, other: Linear): number {
  const [a, b] = [lab(one), lab(other)];
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

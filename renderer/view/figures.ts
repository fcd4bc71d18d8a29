/** SI prefixes by power of a thousand; µ as the trade writes it. */
const PREFIXES: Readonly<Record<number, string>> = {
  "-4": "p",
  "-3": "n",
  "-2": "µ",
  "-1": "m",
  "0": "",
  "1": "k",
  "2": "M",
  "3": "G",
};

/**
 * A value for people: as many places as the meter resolved, or `significant` figures where that is
 * not known. Only for derived values; a reading is shown by the meter's own digits.
 */
export function figureText(
  value: number,
  unit: string,
  resolution: number | null = null,
  significant = 4,
): string {
  const power = prefixPower(value, unit);
  const scale = 10 ** (3 * power);
  const places =
    resolution === null
      ? significant - 1 - leadingPower(value / scale)
      : Math.round(-Math.log10(resolution / scale));
  const digits = (value / scale).toFixed(Math.max(0, Math.min(places, 9))).replace("-", "\u2212");
  const shownUnit = `${PREFIXES[power] ?? ""}${unit}`;
  return shownUnit === "" ? digits : `${digits}\u202f${shownUnit}`;
}

function leadingPower(value: number): number {
  return value === 0 ? 0 : Math.floor(Math.log10(Math.abs(value)));
}

/** Units that the trade does not prefix stay as they are. */
function prefixPower(value: number, unit: string): number {
  if (unit === "" || unit === "%" || unit.startsWith("°") || value === 0) return 0;
  const power = Math.floor(leadingPower(value) / 3);
  // Volts, amperes and ohms down to a hundredth are read without a prefix on a bench.
  if (power === -1 && Math.abs(value) >= 0.01) return 0;
  return Math.max(-4, Math.min(3, power));
}

/** How long ago, in the coarsest words that are still of use. */
export function ageText(age_s: number): string {
  if (age_s < 10) return `${Math.max(0, age_s).toFixed(1)} s`;
  if (age_s < 120) return `${Math.round(age_s)} s`;
  if (age_s < 7200) return `${Math.round(age_s / 60)} min`;
  return `${Math.round(age_s / 3600)} h`;
}

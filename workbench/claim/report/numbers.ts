/** Numbers as a report prints them: value, uncertainty and limits of one step in one prefix. */

export interface Scale {
  /** "mΩ" */
  readonly unit: string;
  readonly factor: number;
  /** Digits behind the point. */
  readonly decimals: number;
}

const PREFIXES: readonly (readonly [string, number])[] = [
  ["M", 1e6],
  ["k", 1e3],
  ["", 1],
  ["m", 1e-3],
  ["µ", 1e-6],
  ["n", 1e-9],
  ["p", 1e-12],
];

/** Units that take a prefix; percent and degrees do not. */
const SCALED = new Set(["V", "A", "Ω", "F", "Hz", "W"]);

/** `largest` decides the prefix, `resolution` (one count; null unknown) the digits. */
export function scaleFor(unit: string, largest: number, resolution: number | null): Scale {
  const [prefix, factor] = SCALED.has(unit) ? prefixFor(Math.abs(largest)) : ["", 1];
  const step = resolution === null || resolution <= 0 ? Math.abs(largest) / 1e4 : resolution;
  const decimals = step === 0 ? 2 : Math.ceil(-Math.log10(step / factor) - 1e-9);
  return { unit: prefix + unit, factor, decimals: Math.min(6, Math.max(0, decimals)) };
}

function prefixFor(size: number): readonly [string, number] {
  if (size === 0) return ["", 1];
  return PREFIXES.find(([, factor]) => size >= factor * 0.9999) ?? ["p", 1e-12];
}

export function inScale(value: number, scale: Scale): string {
  return minus((value / scale.factor).toFixed(scale.decimals));
}

/** Two figures (GUM 7.2.6), at most one digit more than the value has; never rounded to nothing. */
export function uncertaintyInScale(uncertainty: number, scale: Scale): string {
  const scaled = uncertainty / scale.factor;
  if (scaled === 0) return "0";
  const decimals = Math.max(0, 1 - Math.floor(Math.log10(Math.abs(scaled))));
  const most = Math.min(decimals, scale.decimals + 1);
  const least = 10 ** -most;
  return Math.max(scaled, least).toFixed(most);
}

export function limitsInScale(
  limits: { readonly low: number | null; readonly high: number | null },
  scale: Scale,
): string {
  const { low, high } = limits;
  if (low !== null && high !== null) {
    return `${inScale(low, scale)} to ${inScale(high, scale)} ${scale.unit}`;
  }
  if (low !== null) return `at least ${inScale(low, scale)} ${scale.unit}`;
  if (high !== null) return `at most ${inScale(high, scale)} ${scale.unit}`;
  return "none";
}

/** "less than 0.1 %", "2.3 %". */
export function percent(share: number): string {
  if (share < 0.001) return "less than 0.1 %";
  return `${(share * 100).toFixed(share < 0.1 ? 1 : 0)} %`;
}

/** A minus that is as wide as a plus. */
function minus(text: string): string {
  return text.replace("-", "−");
}

/** "0:07.3", minutes and seconds since the job began. */
export function clockOf(time_s: number): string {
  const minutes = Math.floor(time_s / 60);
  const seconds = (time_s - minutes * 60).toFixed(1).padStart(4, "0");
  return `${minutes}:${seconds}`;
}

/** The time of day at the bench: ISO 8601 with the offset the job was started with. */
export function timeOfDay(startedAt: string, time_s: number): string {
  const offset = /(?:Z|[+-]\d\d:?\d\d)$/.exec(startedAt)?.[0] ?? "Z";
  const minutes = offset === "Z" ? 0 : offsetMinutes(offset);
  const shown = new Date(Date.parse(startedAt) + time_s * 1000 + minutes * 60_000);
  return `${shown.toISOString().slice(0, 19).replace("T", " ")} ${offset === "Z" ? "UTC" : offset}`;
}

function offsetMinutes(offset: string): number {
  const digits = offset.replace(":", "");
  const size = Number(digits.slice(1, 3)) * 60 + Number(digits.slice(3, 5));
  return digits.startsWith("-") ? -size : size;
}

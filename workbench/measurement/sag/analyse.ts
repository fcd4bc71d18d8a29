import type { Detail } from "../watch.js";
import { relaxationFigures } from "./relaxation.js";
import type { SourceFigures } from "./source-figures.js";
import { describeSqueeze, noSqueeze } from "./describe.js";
import type { SqueezeReport } from "./describe.js";
import { DEFAULT_EDGE, findSqueezes } from "./squeezes.js";
import { prepare } from "./trace.js";
import type { SagTrace } from "./trace.js";

export interface SagOptions {
  /** A drop below this share of the baseline is a squeeze. */
  readonly edge?: number;
  /** Resistance of a known load, where no current was recorded. */
  readonly load_ohm?: number | undefined;
}

export interface SagReport {
  readonly readings: number;
  /** Median time between readings. */
  readonly interval_s: number;
  /** Standard deviation of one reading about its neighbours. */
  readonly noise_V: number;
  /** `reversed`: the probes were the wrong way round; all figures are made positive. */
  readonly polarity: "as-marked" | "reversed";
  readonly squeezes: readonly SqueezeReport[];
  /** The squeeze that the figures below are of: the first that is complete. */
  readonly chosen: number | null;
  /** Named figures, each with unit and standard uncertainty, or the reason why not. */
  readonly figures: Readonly<Record<string, Detail>>;
  readonly notes: readonly string[];
}

/** Fewer readings than this carry no sag. */
export const FEWEST_READINGS = 4;

/**
 * Everything a voltage trace tells of a pack under load: baseline, edge, floor, plateau, recovery
 * of each squeeze, and with current or a known load the internal resistance and its relaxation.
 * Uncertainties cover reading noise, resolution and the pace of the readings; the meter's own
 * accuracy is the caller's to add. The trace must have at least `FEWEST_READINGS` readings.
 */
export function analyseSag(trace: SagTrace, options: SagOptions = {}): SagReport {
  const prepared = prepare(trace);
  const found = findSqueezes(prepared, options.edge ?? DEFAULT_EDGE);
  const squeezes = found.map((squeeze) => describeSqueeze(prepared, squeeze));
  const complete = squeezes.findIndex((squeeze) => squeeze.complete);
  const chosen = squeezes.length === 0 ? null : Math.max(0, complete);
  const source: SourceFigures = relaxationFigures(prepared, found, squeezes, {
    chosen,
    load_ohm: options.load_ohm,
  });
  const own = chosen === null ? noSqueeze(prepared) : squeezes[chosen]?.figures;
  return {
    readings: prepared.n,
    interval_s: prepared.interval_s,
    noise_V: prepared.noise_V,
    polarity: prepared.reversed ? "reversed" : "as-marked",
    squeezes,
    chosen,
    figures: { ...own, ...source.figures },
    notes: [...traceNotes(prepared), ...source.notes],
  };
}

function traceNotes({ reversed, currentReversed }: ReturnType<typeof prepare>): string[] {
  const notes: string[] = [];
  if (reversed) notes.push("The probes were reversed; voltages are shown positive.");
  if (currentReversed) notes.push("The current was negative under load; it is shown positive.");
  return notes;
}

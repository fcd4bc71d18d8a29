import { fitExponentials } from "../fit/exponentials.js";
import { thinned } from "../fit/thinned.js";
import type { Detail } from "../watch.js";
import { refused } from "./source-figures.js";
import type { SourceFigures } from "./source-figures.js";
import type { Squeeze } from "./squeezes.js";
import { timeConstant } from "./time-constant.js";
import type { Prepared } from "./trace.js";

/** A fit of the voltage alone takes no more points than this. */
const MOST_FITTED = 6000;

/** From voltage alone: the recovery after the release, whose current is known to be none. */
export function recoveryFigures(trace: Prepared, { after, released }: Squeeze): SourceFigures {
  const missing = "no current in the trace, and no known load";
  if (!released) return refused("the trace ends under load: no recovery was seen", missing);
  const n = after.to - after.from;
  if (n < 8) return refused("too few readings after the release", missing);
  const begin = trace.t[after.from] as number;
  const all_s = trace.t.slice(after.from, after.to).map((x) => x - begin);
  const { t, y, group } = thinned(all_s, trace.v.subarray(after.from, after.to), MOST_FITTED);
  const fit = fitExponentials(t, y);
  const length_s = all_s[n - 1] as number;
  const figures: Record<string, Detail> = {
    internalResistance: { value: null, unit: "Ω", note: missing },
  };
  for (const k of [0, 1]) {
    const term = fit?.terms[k];
    figures[`relaxation${k + 1}`] =
      fit === null || term === undefined
        ? { value: null, unit: "s", note: "the readings do not support another relaxation" }
        : timeConstant(term, fit.dof, group * trace.interval_s, length_s);
  }
  return { figures, notes: [] };
}

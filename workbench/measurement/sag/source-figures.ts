import type { Detail } from "../watch.js";

/** What a trace tells of the source itself. */
export interface SourceFigures {
  readonly figures: Record<string, Detail>;
  readonly notes: readonly string[];
}

/** No such figures, and why; the reason for the resistance where it is another. */
export function refused(note: string, resistance = note): SourceFigures {
  return {
    figures: {
      internalResistance: { value: null, unit: "Ω", note: resistance },
      relaxation1: { value: null, unit: "s", note },
      relaxation2: { value: null, unit: "s", note },
    },
    notes: [],
  };
}

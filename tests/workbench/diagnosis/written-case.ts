import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import type { ReadingsFile } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import type { Report } from "../../../workbench/diagnosis/report.js";

/** A case as somebody at a bench would jot it down. */
export interface Case {
  /** A brushed cordless drill where absent. */
  readonly kind?: string;
  readonly tool?: ReadingsFile["tool"];
  readonly readings?: readonly Line[];
  readonly seen?: Readonly<Record<string, string | boolean>>;
}

type Shown = number | null;
export type Line = readonly [
  points: string,
  condition: string,
  value: Shown | readonly Shown[],
  unit?: string,
  /** A zero or an open that nobody touched twice. */
  once?: "once",
];

const POINTS: Readonly<Record<string, readonly [string, string]>> = {
  charger: ["charger-plus", "charger-minus"],
  pack: ["pack-plus", "pack-minus"],
  terminals: ["terminal-plus", "terminal-minus"],
  "switch in": ["switch-in-plus", "switch-in-minus"],
  "switch out": ["switch-out-plus", "switch-out-minus"],
  switch: ["switch-in-plus", "switch-out-plus"],
  "red lead": ["switch-out-plus", "brush-a"],
  "black lead": ["switch-out-minus", "brush-b"],
  motor: ["brush-a", "brush-b"],
  commutator: ["commutator-a", "commutator-b"],
  controller: ["controller-plus", "controller-minus"],
  trigger: ["trigger-supply", "trigger-signal"],
  plug: ["plug-live", "plug-neutral"],
};

export function diagnose({
  kind = "cordless-brushed",
  tool,
  readings = [],
  seen = {},
}: Case): Report {
  const cordless = { nominal_V: 18, charger: "always-live", trigger: "mechanical" } as const;
  const given = readCase({
    kind,
    tool: kind === "cordless-brushed" ? { ...cordless, ...tool } : (tool ?? {}),
    readings: readings.map(([points, condition, value, unit = "V", once]) => {
      const [red = "", black = ""] = POINTS[points] ?? points.split(" ");
      const shown = isList(value) ? { samples: [...value] } : { value };
      const nothing = value === null || value === 0;
      return { red, black, condition, ...shown, unit, proved: nothing && once === undefined };
    }),
    observations: seen,
  });
  return report(given.model, given.observations, given.cautions, given.stopBelow);
}

function isList(value: Shown | readonly Shown[]): value is readonly Shown[] {
  return Array.isArray(value);
}

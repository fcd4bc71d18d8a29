import type { CallParams } from "../../workbench/contract/calls.js";

type Table = CallParams<"saveTable">["table"];

/** A line as it is typed; empty means "any". */
export interface LineText {
  readonly function: string;
  readonly upTo: string;
  readonly resolution: string;
  readonly percent: string;
  readonly counts: string;
}

export interface MeterFormData {
  readonly meter: string;
  readonly calibrated: string;
  readonly months: string;
  readonly lines: readonly LineText[];
}

/** What the dial can be on, as one choice: quantity and coupling. */
export const FUNCTIONS: readonly (readonly [string, string])[] = [
  ["voltage dc", "DC voltage"],
  ["voltage ac", "AC voltage"],
  ["resistance", "Resistance"],
  ["current dc", "DC current"],
  ["current ac", "AC current"],
  ["capacitance", "Capacitance"],
  ["frequency", "Frequency"],
  ["temperature", "Temperature"],
  ["diode", "Diode test"],
];

export const emptyLine: LineText = {
  function: "voltage dc",
  upTo: "",
  resolution: "",
  percent: "",
  counts: "",
};

export const emptyMeter: MeterFormData = {
  meter: "",
  calibrated: "",
  months: "12",
  lines: [emptyLine],
};

export function meterFormOf(table: Table): MeterFormData {
  return {
    meter: table.meter,
    calibrated: table.calibrated ?? "",
    months: String(table.valid_months),
    lines: table.lines.map((line) => ({
      function: [line.quantity, line.coupling].filter(Boolean).join(" "),
      upTo: textOf(line.upTo),
      resolution: textOf(line.resolution),
      percent: String(line.percentOfReading),
      counts: String(line.counts),
    })),
  };
}

/** A field that is no number becomes NaN, which the bench refuses by its place in the table. */
export function tableOf({ meter, calibrated, months, lines }: MeterFormData): Table {
  return {
    meter,
    calibrated: calibrated === "" ? null : calibrated,
    valid_months: Number(months),
    lines: lines.map((line) => {
      const [quantity = "", coupling = null] = line.function.split(" ");
      return {
        quantity,
        coupling,
        upTo: numberOf(line.upTo),
        resolution: numberOf(line.resolution),
        percentOfReading: Number(line.percent),
        counts: Number(line.counts),
      };
    }),
  };
}

function textOf(value: number | null): string {
  return value === null ? "" : String(value);
}

function numberOf(typed: string): number | null {
  return typed.trim() === "" ? null : Number(typed);
}

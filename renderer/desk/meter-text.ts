import type { CallParams } from "../../workbench/contract/calls.js";

type Table = CallParams<"saveTable">["table"];

/** A line as it is typed; empty means "any". */
export interface LineText {
  readonly function: string;
  readonly upTo: string;
  readonly resolution: string;
  readonly percent: string;
  readonly counts: string;
  /** Kept as it was; the form does not show it. */
  readonly note?: string | undefined;
}

export interface MeterFormData {
  readonly meter: string;
  readonly calibrated: string;
  readonly months: string;
  /** Between these temperatures, °C, the table holds as it stands. */
  readonly low_degC: string;
  readonly high_degC: string;
  /** Added a degree beyond, as a share of the stated accuracy. */
  readonly perDegree: string;
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
  low_degC: "18",
  high_degC: "28",
  perDegree: "0.1",
  lines: [emptyLine],
};

export function meterFormOf(table: Table): MeterFormData {
  return {
    meter: table.meter,
    calibrated: table.calibrated ?? "",
    months: String(table.valid_months),
    low_degC: String(table.temperature_degC.low),
    high_degC: String(table.temperature_degC.high),
    perDegree: String(table.temperatureCoefficient),
    lines: table.lines.map((line) => ({
      function: [line.quantity, line.coupling].filter(Boolean).join(" "),
      upTo: textOf(line.upTo),
      resolution: textOf(line.resolution),
      percent: String(line.percentOfReading),
      counts: String(line.counts),
      note: line.note,
    })),
  };
}

/** A field that is no number becomes NaN, which the bench refuses by its place in the table. */
export function tableOf(data: MeterFormData): Table {
  return {
    meter: data.meter,
    calibrated: data.calibrated === "" ? null : data.calibrated,
    valid_months: Number(data.months),
    temperature_degC: { low: Number(data.low_degC), high: Number(data.high_degC) },
    temperatureCoefficient: Number(data.perDegree),
    lines: data.lines.map((line) => {
      const [quantity = "", coupling = null] = line.function.split(" ");
      return {
        quantity,
        coupling,
        upTo: numberOf(line.upTo),
        resolution: numberOf(line.resolution),
        percentOfReading: Number(line.percent),
        counts: Number(line.counts),
        ...(line.note === undefined ? {} : { note: line.note }),
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

import type { TimedReading, Unit } from "../../protocols/reading.js";

/**
 * Readings as CSV (RFC 4180: CRLF, a header line) and what the columns mean as CSV on the Web
 * metadata (W3C, "Metadata Vocabulary for Tabular Data", 2015). ASCII only, units as UCUM codes,
 * so that a spreadsheet that guesses the encoding guesses right.
 */
const UCUM: Readonly<Record<Unit, string>> = {
  V: "V",
  A: "A",
  Ω: "Ohm",
  F: "F",
  Hz: "Hz",
  "%": "%",
  "°C": "Cel",
  "°F": "[degF]",
  W: "W",
  "": "",
};

interface Column {
  readonly name: string;
  readonly datatype: "double" | "string";
  readonly description: string;
  readonly required: boolean;
  readonly of: (reading: TimedReading) => number | string | null;
}

export const COLUMNS: readonly Column[] = [
  {
    name: "time_s",
    datatype: "double",
    description: "Time of the reading in seconds since the start of the job.",
    required: true,
    of: (reading) => reading.time_s,
  },
  {
    name: "value",
    datatype: "double",
    description: "What the meter showed, in the unit of the column unit; empty on overload.",
    required: false,
    of: (reading) => reading.value,
  },
  {
    name: "unit",
    datatype: "string",
    description: "Unit of value and resolution as a UCUM code; empty where the meter sent none.",
    required: false,
    of: (reading) => UCUM[reading.unit],
  },
  {
    name: "resolution",
    datatype: "double",
    description: "The value of one count of the meter, in the unit of the column unit.",
    required: false,
    of: (reading) => reading.resolution,
  },
  {
    name: "overload",
    datatype: "string",
    description: "Over range: yes, positive or negative as the meter tells; empty where it is not.",
    required: false,
    of: ({ overload }) => (overload === false ? "" : overload === true ? "yes" : overload),
  },
  {
    name: "quantity",
    datatype: "string",
    description: "What the meter's dial was set to measure.",
    required: true,
    of: (reading) => reading.quantity,
  },
  {
    name: "coupling",
    datatype: "string",
    description: "dc, ac or ac+dc; empty where the meter does not say.",
    required: false,
    of: (reading) => reading.coupling,
  },
  {
    name: "flags",
    datatype: "string",
    description: "Signs that were lit on the meter's display, separated by spaces.",
    required: false,
    of: (reading) => reading.flags.join(" "),
  },
];

export const CSV_HEADER = `${COLUMNS.map((column) => column.name).join(",")}\r\n`;

export function csvLine(reading: TimedReading): string {
  return `${COLUMNS.map((column) => csvField(column.of(reading))).join(",")}\r\n`;
}

/** Numbers as ECMAScript prints them: the shortest text that reads back as the same number. */
function csvField(value: number | string | null): string {
  const text = value === null ? "" : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export function csvMetadata(url: string, title: string): string {
  return `${JSON.stringify(
    {
      "@context": ["http://www.w3.org/ns/csvw", { "@language": "en" }],
      url,
      "dc:title": title,
      dialect: { encoding: "utf-8", lineTerminators: ["\r\n"], header: true },
      tableSchema: {
        columns: COLUMNS.map(({ name, datatype, description, required }) => ({
          name,
          titles: name,
          "dc:description": description,
          datatype,
          ...(required ? { required } : {}),
        })),
      },
    },
    null,
    2,
  )}\n`;
}

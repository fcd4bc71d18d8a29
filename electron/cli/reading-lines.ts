import { displayOf } from "../../protocols/display.js";
import type { Reading } from "../../protocols/reading.js";
import { readingToJson } from "../../workbench/contract/reading.js";

/** Writes the readings of one chunk, one a line; all of them arrived at `time_s`. */
export type ReadingLines = (readings: readonly Reading[], time_s: number) => string;

const CHANNEL = "a";
const VALUE = '"value":';

/**
 * The JSON of `readingToJson`, several times faster: from one reading to the next little but the
 * value changes, so the text around it is kept.
 */
export function jsonLines(): ReadingLines {
  let known: Reading | null = null;
  let front = "";
  let behind = "";
  return (readings, time_s) => {
    const time = `{"time_s":${JSON.stringify(time_s)}`;
    const lines = readings.map((reading) => {
      if (known === null || !looksTheSame(reading, known)) {
        known = reading;
        [front, behind] = around(reading);
      }
      return `${time}${front}${JSON.stringify(reading.value)}${behind}`;
    });
    return lines.join("\n");
  };
}

function looksTheSame(a: Reading, b: Reading): boolean {
  return (
    a.flags === b.flags &&
    a.resolution === b.resolution &&
    a.overload === b.overload &&
    a.quantity === b.quantity &&
    a.coupling === b.coupling &&
    a.unit === b.unit
  );
}

/** The text between the time and the value, and behind the value. */
function around(reading: Reading): [string, string] {
  const zero = { ...reading, value: 0, time_s: 0, channel: CHANNEL };
  const text = JSON.stringify(readingToJson(zero)).slice('{"time_s":0'.length);
  const at = text.indexOf(VALUE) + VALUE.length;
  return [text.slice(0, at), text.slice(at + 1)];
}

/** For people: digits as the meter shows them, unit, what it is. */
export function textLines(): ReadingLines {
  return (readings) => readings.map(textLine).join("\n");
}

function textLine(reading: Reading): string {
  const { digits, prefix } = displayOf(reading);
  const unit = `${prefix}${reading.unit}`;
  const about = [reading.coupling, reading.quantity, ...reading.flags].filter((word) => word);
  return `${digits} ${unit}`.trimEnd().padEnd(14) + about.join(" ");
}

import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { ProtocolOptions } from "../../protocols/protocol.js";
import { createScpiDialogue } from "../../protocols/scpi/dialogue.js";
import { converse } from "./fixtures/scripted-instrument.js";
import type { Answer, Instrument } from "./fixtures/scripted-instrument.js";

const NAME = "Example Instruments,DMM-0,0001,1.0";
const once = (text: string, after_s = 0.01): Answer[] => [{ text: `${text}\n`, after_s }];

/** "*ESE 7;*ESE?;*IDN?" → "7;name"; "*ESE 0" is no question. */
const marked = (line: string, after_s?: number) =>
  line.includes("?") ? once(`${/\d+/.exec(line)![0]};${NAME}`, after_s) : [];

/** A well-behaved instrument whose readings count up. */
function polite(change: Instrument = () => []): Instrument {
  let count = 0;
  return (line) => {
    const changed = change(line);
    if (changed.length > 0) return changed;
    if (line === "*IDN?") return once(NAME);
    if (line.startsWith("*ESE")) return marked(line);
    if (line === "*STB?") return once("0");
    if (/^SYST(EM)?:ERR(OR)?\?$/.test(line)) return once('0,"No error"');
    if (/^FUNC(TION)?\?$/.test(line)) return once('"VOLT"');
    return line.includes("?") ? once(`+${++count}.0`) : [];
  };
}

function talk(instrument: Instrument, options: ProtocolOptions = {}, until_s = 1) {
  const dialogue = createScpiDialogue(options);
  return { ...converse(dialogue, instrument, until_s), stats: dialogue.stats };
}

describe("the SCPI dialogue", () => {
  test("identifies, configures, empties the error queue, reads", () => {
    const { sent, notes, readings } = talk(polite(), { function: "voltage-dc", range: "20" });
    expect(sent.slice(0, 7)).toEqual([
      "*IDN?",
      "CONF:VOLT:DC 20",
      "READ?",
      "SYST:ERR?",
      "*STB?",
      "READ?",
      "READ?",
    ]);
    expect(notes).toEqual([`Instrument: ${NAME}`]);
    expect(readings[0]).toMatchObject({ quantity: "voltage", coupling: "dc", unit: "V", value: 1 });
    expect(readings.length).toBeGreaterThan(50);
  });

  test("says long forms where asked to", () => {
    const { sent } = talk(polite(), { function: "resistance", form: "long" });
    expect(sent).toContain("CONFIGURE:RESISTANCE");
    expect(sent).toContain("SYSTEM:ERROR?");
  });

  test.each([
    ["fetch", ["INIT", "FETC?"]],
    ["measure", ["MEAS:CURR:DC?"]],
    ["continuous", ["INIT:CONT ON", "FETC?"]],
  ])("mode %s", (mode, expected) => {
    const { sent, readings } = talk(polite(), { function: "current-dc", mode });
    expect(sent).toEqual(expect.arrayContaining(expected));
    expect(readings.length).toBeGreaterThan(10);
  });

  test("with no function chosen, follows the instrument's own setting", () => {
    const { sent, readings } = talk(polite(), { interval_s: "0.3" });
    expect(sent.slice(0, 4)).toEqual(["*IDN?", "FUNC?", "READ?", "FUNC?"]);
    expect(readings[0]).toMatchObject({ quantity: "voltage", coupling: "dc", value: 1 });
  });

  // A dial that is turned at any moment, also between a question and its answer: each value says
  // by its sign and size what it was measured as.
  test.each([0.1, 0.5, 1.37])("never takes a value for another function: dial every %s s", (s) => {
    const dial = [
      { says: '"VOLT:AC"', value: "+1.0" },
      { says: '"RES"', value: "+1000.0" },
      { says: '"VOLT"', value: "-1.0" },
    ];
    let now_s = 0;
    let asked = 0;
    const instrument = polite((line) => {
      // Each answer takes between 10 and 60 ms, and is of the moment when it is made.
      const after_s = 0.01 + 0.05 * ((asked++ * 0.618) % 1);
      const { says, value } = dial[Math.floor(now_s / s) % dial.length]!;
      now_s += after_s;
      if (line === "FUNC?") return once(says, after_s);
      return line === "READ?" ? once(value, after_s) : [];
    });
    const { readings, stats } = talk(instrument, {}, 60);
    expect(readings.length).toBeGreaterThan(20);
    for (const { quantity, coupling, value } of readings) {
      const measured =
        value === 1000 ? "resistance null" : value === 1 ? "voltage ac" : "voltage dc";
      expect(`${quantity} ${coupling}`).toBe(measured);
    }
    expect(stats.rejected["function changed"]).toBeGreaterThan(3);
  });

  test("reads the error queue until it is empty when the status byte says so", () => {
    const errors = ['-222,"Data out of range"', '-113,"Undefined header"'];
    let status = "4";
    const { notes, sent } = talk(
      polite((line) => {
        if (line === "*STB?") return once(status);
        if (line !== "SYST:ERR?") return [];
        status = "0";
        return once(errors.shift() ?? '0,"No error"');
      }),
      { function: "diode" },
    );
    expect(notes).toEqual([
      `Instrument: ${NAME}`,
      "The instrument reports error -222: Data out of range",
      "The instrument reports error -113: Undefined header",
    ]);
    expect(sent.filter((line) => line === "SYST:ERR?")).toHaveLength(3);
  });

  const folder =
    process.env["LEADHAND_CHECK_DATA"] ??
    join(import.meta.dirname, "..", "..", "..", "shared", "check-data");
  const file = join(folder, "scpi-errors.json");
  const isThere = existsSync(file);
  if (!isThere) console.log(`skipped: no published SCPI errors at ${folder}`);

  test.skipIf(!isThere)("tells every error of SCPI-1999 vol. 2, 21.8 by number and text", () => {
    const { errors } = JSON.parse(readFileSync(file, "utf8")) as {
      readonly errors: readonly (readonly [number, string])[];
    };
    const real = errors.filter(([number]) => number !== 0);
    expect(real.length).toBeGreaterThan(100);
    // No queue holds more than 50: they come in portions, each announced by the status byte.
    const left = real.map(([number, text]) => `${number},"${text}"`);
    let portion = 0;
    const instrument = polite((line) => {
      if (line === "*STB?") {
        portion = 40;
        return once(left.length > 0 ? "4" : "0");
      }
      if (line !== "SYST:ERR?" || portion-- <= 0) return [];
      return left.length > 0 ? once(left.shift()!) : [];
    });
    const { notes } = talk(instrument, { function: "voltage-dc" }, 20);
    expect(notes.slice(1)).toEqual(
      real.map(([number, text]) => `The instrument reports error ${number}: ${text}`),
    );
  });

  test("takes lists, and waits for a long one as long as it keeps coming", () => {
    const list = Array.from({ length: 100 }, (_, n) => `${n}.5`).join(",");
    let left = 1;
    const instrument = polite((line) => {
      if (line !== "READ?" || left-- <= 0) return [];
      return Array.from(`${list}\n`, (text) => ({ text, after_s: 0.9 }));
    });
    const { readings, stats } = talk(
      instrument,
      { function: "voltage-dc", samples: "100", timeout_s: "1" },
      500,
    );
    expect(readings.slice(0, 100).map(({ value }) => value)).toEqual(
      Array.from({ length: 100 }, (_, n) => n + 0.5),
    );
    expect(stats.rejected["time-out"]).toBeUndefined();
  });

  test("learns that an instrument is slow, and then reads it", () => {
    const { readings, stats } = talk(
      polite((line) => (line === "READ?" ? once("7.0", 8) : [])),
      { function: "voltage-dc", timeout_s: "2" },
      120,
    );
    expect(readings.length).toBeGreaterThan(5);
    expect(stats.rejected["time-out"]).toBeLessThan(6);
  });

  test("does without *IDN?, SYST:ERR?, *STB? and FUNC? where the instrument has none", () => {
    const { readings } = talk((line) => (line === "READ?" ? once("1.0") : []), {}, 60);
    expect(readings.length).toBeGreaterThan(100);
  });

  test("ignores echoes, prompts and news nobody asked for", () => {
    const quiet = polite();
    const { readings, stats } = talk(
      (line) => [
        { text: `${line}\r\n`, after_s: 0.001 },
        ...quiet(line),
        { text: "READY>\r\n", after_s: 0 },
      ],
      { function: "voltage-dc" },
    );
    expect(readings.length).toBeGreaterThan(20);
    expect(readings.map(({ value }) => value)).toEqual(readings.map((_, n) => n + 1));
    expect(stats.rejected["echo"]).toBeGreaterThan(20);
  });

  test("mode listen sends nothing", () => {
    const dialogue = createScpiDialogue({ mode: "listen", function: "voltage-dc" });
    expect(dialogue.start(0)).toMatchObject({ write: null, wake_s: null });
    expect(dialogue.onBytes(Buffer.from("1.25\n"), 1).readings).toMatchObject([{ value: 1.25 }]);
  });

  test("ends its lines as the instrument wants them", () => {
    const dialogue = createScpiDialogue({ terminator: "cr", function: "voltage-dc" });
    expect(dialogue.start(0).write).toEqual(new Uint8Array(Buffer.from("*IDN?\r")));
    const { notes, write } = dialogue.onBytes(Buffer.from(`${NAME}\r\n`), 0.1);
    expect(notes).toEqual([`Instrument: ${NAME}`]);
    expect(write).toEqual(new Uint8Array(Buffer.from("CONF:VOLT:DC\rREAD?\r")));
    expect(dialogue.onBytes(Buffer.from("1.5\r"), 0.2).readings).toMatchObject([{ value: 1.5 }]);
  });

  test("keeps a pause between questions", () => {
    const { readings } = talk(polite(), { function: "voltage-dc", interval_s: "0.5" }, 10);
    expect(readings.length).toBeGreaterThan(15);
    expect(readings.length).toBeLessThan(22);
  });

  test("any bytes at any time: no throw, no reading that is not sound, and it goes on asking", () => {
    const piece = fc.oneof(
      fc.uint8Array({ maxLength: 60 }),
      fc
        .constantFrom("1.5\n", `${NAME}\n`, `7;${NAME}\n`, '-113,"x"\n', "#9", "#0", '"', "4\n")
        .map((text) => new Uint8Array(Buffer.from(text))),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), fc.nat(3), (pieces, pause_s) => {
        const dialogue = createScpiDialogue({ function: "voltage-dc", timeout_s: "1" });
        let now_s = 0;
        let { wake_s } = dialogue.start(now_s);
        for (const bytes of pieces) {
          now_s += pause_s / 2;
          const step = dialogue.onBytes(bytes, now_s);
          expect(step.ends).toHaveLength(step.readings.length);
          for (const { value, overload } of step.readings) {
            expect(value === null).toBe(overload !== false);
          }
          ({ wake_s } = step);
        }
        // Left alone, it asks again within its longest pause, whatever came before.
        const asked = Array.from({ length: 40 }, () => {
          expect(wake_s).not.toBeNull();
          now_s = Math.max(now_s, wake_s!);
          const step = dialogue.onTimer(now_s);
          ({ wake_s } = step);
          return step.write !== null;
        });
        expect(asked).toContain(true);
      }),
      { numRuns: 500 },
    );
  });

  test.each([
    ["with marks", true, undefined],
    ["without marks", false, undefined],
    // Found a name that was asked after a mark and came in the next resynchronisation.
    ["with marks, as once failed", true, 1094253133],
  ])("never gives a reply to the wrong question, however late: %s", (_name, hasMarks, seed) => {
    const fate = fc.record({
      delay_s: fc.oneof(fc.constant(0.01), fc.double({ min: 0, max: 4, noNaN: true })),
      lost: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
    });
    fc.assert(
      fc.property(fc.array(fate, { minLength: 50, maxLength: 50 }), (fates) => {
        // Volts count up from 1, amperes down from -1: a shifted reply shows at once.
        let function_ = "";
        let count = 0;
        let n = 0;
        const instrument: Instrument = (line) => {
          if (line.startsWith("CONF:")) function_ = line;
          const { delay_s, lost } = fates[n++ % fates.length]!;
          if (line === "*IDN?") return once(NAME, delay_s);
          if (line.startsWith("*ESE")) return hasMarks ? marked(line, delay_s) : [];
          if (!line.includes("?") || lost) return [];
          if (line === "*STB?") return once("16", delay_s);
          if (line === "SYST:ERR?") return once('0,"No error"', delay_s);
          count++;
          return once(function_ === "CONF:VOLT:DC" ? `${count}.0` : `-${count}.0`, delay_s);
        };
        const { readings } = talk(
          instrument,
          { function: "voltage-dc,current-dc", timeout_s: "1" },
          60,
        );
        for (const { quantity, value } of readings) {
          expect(quantity).toBe(value! > 0 ? "voltage" : "current");
        }
        const order = readings.map(({ value }) => Math.abs(value!));
        expect(order).toEqual([...new Set(order)].sort((a, b) => a - b));
      }),
      { numRuns: 60, ...(seed === undefined ? {} : { seed }) },
    );
  });
});

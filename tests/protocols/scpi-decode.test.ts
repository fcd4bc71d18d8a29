import { describe, expect, test } from "vitest";
import type { ProtocolOptions } from "../../protocols/protocol.js";
import { createScpiDecoder } from "../../protocols/scpi/decode.js";

const bytes = (text: string) => new TextEncoder().encode(text);

function decode(text: string | Uint8Array, options: ProtocolOptions = {}) {
  const decoder = createScpiDecoder(options);
  const readings = decoder.push(typeof text === "string" ? bytes(text) : text);
  return { readings, stats: decoder.stats };
}

const values = (text: string | Uint8Array, options?: ProtocolOptions) =>
  decode(text, options).readings.map(({ value }) => value);

/** A definite block (IEEE 488.2 clause 8.7.9): #, digits of the length, length, data. */
function block(data: Uint8Array): Uint8Array {
  const length = String(data.length);
  return new Uint8Array(Buffer.concat([Buffer.from(`#${length.length}${length}`), data]));
}

describe("SCPI replies", () => {
  test("NR1, NR2 and NR3 keep value and resolution", () => {
    // Forms of IEEE 488.2 clauses 8.7.2 to 8.7.4, from memory.
    expect(decode("-12\n-12.34\n+1.2340E+01\n").readings).toMatchObject([
      { value: -12, resolution: 1 },
      { value: -12.34, resolution: 0.01 },
      { value: 12.34, resolution: null },
    ]);
  });

  test("the function of the address tells quantity, coupling and unit", () => {
    expect(decode("19.84\r\n", { function: "voltage-dc" }).readings).toMatchObject([
      { quantity: "voltage", coupling: "dc", unit: "V", value: 19.84 },
    ]);
  });

  test("lists give one reading an element", () => {
    expect(values("1.5,-2.5E-3, 4;7\n")).toEqual([1.5, -0.0025, 4, 7]);
  });

  test("9.9E37 is over range, 9.91E37 is no reading", () => {
    // SCPI-1999 vol. 1, 7.2.1.4 and 7.2.1.5, from memory.
    const { readings, stats } = decode("9.9E37,-9.90000000E+37,9.91E37\n");
    expect(readings).toMatchObject([
      { value: null, overload: "positive" },
      { value: null, overload: "negative" },
    ]);
    expect(stats.rejected).toEqual({ "instrument says not a number": 1 });
  });

  test("definite and indefinite blocks of text", () => {
    expect(values("#19+1.5,+2.5\n")).toEqual([1.5, 2.5]);
    expect(values("#0+1.5,+2.5\n")).toEqual([1.5, 2.5]);
  });

  test("blocks of binary numbers may hold line feeds", () => {
    const view = new DataView(new ArrayBuffer(8));
    view.setFloat32(0, 12.34);
    view.setUint32(4, 0x410a0a0a);
    const framed = Buffer.concat([block(new Uint8Array(view.buffer)), Buffer.from("\n5\n")]);
    expect(values(framed, { block: "real-32" })).toEqual([12.34, expect.closeTo(8.627, 3), 5]);
    const wide = new DataView(new ArrayBuffer(8));
    wide.setFloat64(0, -0.1, true);
    const data = Buffer.concat([block(new Uint8Array(wide.buffer)), Buffer.from("\n")]);
    expect(values(data, { block: "real-64", border: "swapped" })).toEqual([-0.1]);
  });

  test("texts and other messages are counted, not read", () => {
    const { readings, stats } = decode(
      '-113,"Undefined; header"\nACME,9,0,1.0\n\u00ff\u00001.5\n7\n',
    );
    expect(readings.map(({ value }) => value)).toEqual([-113, 9, 0, 1, 7]);
    expect(stats.rejected).toEqual({ "not a number": 2 });
    expect(stats.skippedBytes).toBeGreaterThan(0);
  });

  test("a block that is none, in the middle of damage, is passed over at once", () => {
    expect(values('abc",#9"1.5\n7\n')).toEqual([7]);
    expect(values('abc",#9999999999"1.5\n7\n')).toEqual([7]);
  });

  test("any split gives the same", () => {
    const stream = bytes('1.5,2.5\n#15\n9\n,3\n"a\nb"\n-4E-1\n');
    const whole = decode(stream).readings;
    for (let split = 1; split < stream.length; split++) {
      const decoder = createScpiDecoder();
      const parts = [stream.subarray(0, split), stream.subarray(split)];
      expect(parts.flatMap((part) => [...decoder.push(part)])).toEqual(whole);
    }
  });
});

import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { formatAddress, parseAddress } from "../../drivers/address.js";
import { chooseMeter } from "../../drivers/links.js";
import { LeadhandError } from "../../protocols/error.js";
import { lineProtocol } from "./line-protocol.js";

const choose = (text: string) => chooseMeter(text, { protocol: () => lineProtocol });

function errorOf(fn: () => unknown): LeadhandError {
  try {
    fn();
  } catch (thrown) {
    if (thrown instanceof LeadhandError) return thrown;
  }
  throw new Error("no LeadhandError was thrown");
}

describe("syntax", () => {
  test.each([
    ["serial:/dev/ttyUSB0?protocol=segment-14&baud=2400", "serial", "/dev/ttyUSB0", 2],
    ["serial:///dev/ttyUSB0", "serial", "/dev/ttyUSB0", 0],
    ["serial:COM7?protocol=ascii-14", "serial", "COM7", 1],
    ["tcp://127.0.0.1:5025?protocol=scpi", "tcp", "127.0.0.1:5025", 1],
    ["recorded:C:\\jobs\\a trace.raw?pace=at-once", "recorded", "C:\\jobs\\a trace.raw", 1],
    [
      "practice:cordless-brushed?fault=brushes&fault=pack&seed=7",
      "practice",
      "cordless-brushed",
      2,
    ],
    ["practice:", "practice", "", 0],
    ["ble:AA:BB:CC:DD:EE:FF", "ble", "AA:BB:CC:DD:EE:FF", 0],
  ])("%s", (text, scheme, target, options) => {
    const address = parseAddress(text);
    expect(address).toMatchObject({ scheme, target });
    expect(address.options.size).toBe(options);
  });

  test("a plus is a plus, and a percent escape is what it stands for (RFC 3986)", () => {
    const { options } = parseAddress("serial:x?separator=%2C+%3B&protocol=a");
    expect(options.get("separator")).toBe(",+;");
  });

  test("an option given twice holds both", () => {
    expect(parseAddress("practice:x?fault=a&fault=b").options.get("fault")).toBe("a,b");
  });

  test.each([
    ["/dev/ttyUSB0", "serial:/dev/ttyUSB0"],
    ["COM7", "serial:COM7"],
    ["C:\\trace", "serial:"],
    ["", "serial:"],
  ])("%j is refused with an example", (text, hint) => {
    const error = errorOf(() => parseAddress(text));
    expect(error.code).toBe("usage/meter-address");
    expect(error.action).toContain(hint);
  });

  test.each(["serial:x?baud", "serial:x?=3", "serial:50%?a=b", "serial:x?a=1?b=2"])(
    "%s is refused",
    (text) => {
      expect(errorOf(() => parseAddress(text)).code).toBe("usage/meter-address");
    },
  );

  test("what is formatted is parsed back", () => {
    const word = fc.string({ minLength: 1 }).filter((text) => text.trim() === text);
    const options = fc.uniqueArray(fc.tuple(word, fc.string()), { selector: ([name]) => name });
    const scheme = fc.constantFrom("serial", "tcp", "recorded", "ble");
    fc.assert(
      fc.property(scheme, word, options, (kind, target, pairs) => {
        const address = { scheme: kind, target, options: new Map(pairs) };
        expect(parseAddress(formatAddress(address))).toEqual(address);
      }),
    );
  });
});

describe("choosing a meter", () => {
  test("names it without its options", () => {
    expect(choose("serial:/dev/ttyUSB0?protocol=x&baud=2400").title).toBe("serial:/dev/ttyUSB0");
  });

  test("hands the protocol its own options alone", () => {
    const meter = choose("serial:x?protocol=x&baud=1200&separator=,");
    expect(meter.protocolOptions).toEqual({ separator: "," });
  });

  test.each([
    ["seriel:/dev/ttyUSB0?protocol=x", "usage/meter-kind", '"serial:"'],
    ["zigzag:/dev/ttyUSB0?protocol=x", "usage/meter-kind", "Known: serial"],
    ["serial:x?protocol=x&buad=2400", "usage/meter-option", '"baud"'],
    ["serial:x?protocol=x&quux=1", "usage/meter-option", "Known: protocol, baud"],
    ["serial:x?protocol=x&baud=fast", "usage/meter-option", "2400"],
    ["serial:x?protocol=x&baud=10", "usage/meter-option", "2400"],
    ["serial:x?protocol=x&frame=9n1", "usage/meter-option", "8n1"],
    ["serial:x?protocol=x&dtr=yes", "usage/meter-option", "on, off"],
    ["serial:x", "usage/meter-protocol", "--identify"],
  ])("%s: %s", (text, code, hint) => {
    const error = errorOf(() => choose(text));
    expect(error.code).toBe(code);
    expect(error.message).toContain(hint);
  });

  test("a link that the caller composes in is found", () => {
    const meter = chooseMeter("practice:drill?seed=3", {
      protocol: () => lineProtocol,
      links: [
        {
          scheme: "practice",
          title: "simulated",
          options: ["seed"],
          protocol: "test-line",
          vanishes: false,
          load: () => Promise.reject(new Error("not loaded by choosing")),
        },
      ],
    });
    expect(meter.protocol.id).toBe("test-line");
  });
});

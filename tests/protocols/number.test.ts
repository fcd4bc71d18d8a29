import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { countOf, scaled } from "../../protocols/decimal.js";
import { prefixExponent } from "../../protocols/reading.js";
import type { Prefix } from "../../protocols/reading.js";
import { createAsciiLineDecoder } from "../../protocols/ascii-line/decode.js";
import { numberAt, valueOf } from "../../protocols/text/number.js";

// The reference is the language's own decimal parser (ECMA-262 StringToNumber): correctly rounded.

const sign = fc.constantFrom("", "+", "-");
const digits = fc.stringMatching(/^[0-9]{1,20}$/);
const plain = fc.oneof(
  digits,
  fc.tuple(digits, digits).map(([whole, part]) => `${whole}.${part}`),
  digits.map((part) => `.${part}`),
  digits.map((whole) => `${whole}.`),
);
const power = fc.integer({ min: -45, max: 45 }).map((exponent) => `E${exponent}`);

describe("numbers", () => {
  test("are the nearest double to the digits written, with and without exponent", () => {
    fc.assert(
      fc.property(sign, plain, fc.oneof(fc.constant(""), power), (minus, number, exponent) => {
        const text = `${minus}${number}${exponent}`;
        const found = numberAt(Buffer.from(text), 0, text.length);
        expect(found?.end).toBe(text.length);
        expect(valueOf(found!)).toBe(Number(text));
      }),
      { numRuns: 3000 },
    );
  });

  test("scaled by a power of ten are the nearest double too", () => {
    fc.assert(
      fc.property(fc.maxSafeInteger(), fc.integer({ min: -40, max: 40 }), (whole, exponent) => {
        expect(scaled(whole, exponent)).toBe(Number(`${whole}e${exponent}`));
        expect(countOf(exponent)).toBe(Number(`1e${exponent}`));
      }),
      { numRuns: 3000 },
    );
  });
});

describe("lines of text", () => {
  const prefix = fc.constantFrom<Prefix>("n", "µ", "m", "", "k", "M");
  const shown = fc
    .tuple(sign, fc.stringMatching(/^[0-9]{1,6}$/), fc.nat(4))
    .map(([minus, figures, behind]) => {
      const cut = Math.max(1, figures.length - behind);
      const rest = figures.slice(cut);
      return `${minus}${figures.slice(0, cut)}${rest === "" ? "" : `.${rest}`}`;
    });
  const orders: readonly ((number: string, unit: string) => string)[] = [
    (number, unit) => `${number} ${unit}`,
    (number, unit) => `${number}${unit}`,
    (number, unit) => `${unit} ${number}`,
    (number, unit) => `AUTO,${number},${unit},HOLD`,
    (number, unit) => `CURR:AC ${number};${unit}`,
    (number, unit) => `  ${unit}= ${number}  `,
  ];

  test("keep value and resolution in every order of number and unit", () => {
    fc.assert(
      fc.property(shown, prefix, fc.constantFrom(...orders), (number, before, order) => {
        const decoder = createAsciiLineDecoder({ first: "keep" });
        const [reading] = decoder.push(Buffer.from(`${order(number, `${before}A`)}\n`));
        const places = number.includes(".") ? number.length - number.indexOf(".") - 1 : 0;
        expect(reading).toMatchObject({
          quantity: "current",
          unit: "A",
          // A is no quantity with a mega range: a capital M is a milli written in capitals.
          value: Number(`${number}e${prefixExponent(before === "M" ? "m" : before)}`),
          resolution: Number(`1e${prefixExponent(before === "M" ? "m" : before) - places}`),
        });
      }),
      { numRuns: 1000 },
    );
  });
});

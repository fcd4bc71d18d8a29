import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readingSchema, readingToJson } from "../../workbench/contract/reading.js";
import { protocols } from "../../protocols/registry.js";
import { captures } from "./fixtures/captures.js";

// The long version, 100 million bytes a decoder, is `npm run fuzz -- 100_000_000`.
describe.each([...protocols.values()])("$id under random and mutated bytes", (protocol) => {
  const { bytes } = captures.find((capture) => capture.protocol === protocol.id)!;
  const mutated = fc
    .array(fc.tuple(fc.nat(bytes.length - 1), fc.nat(7), fc.boolean()), { maxLength: 12 })
    .map((faults) => {
      const damaged = [...bytes, ...bytes];
      for (const [at, bit, isLost] of faults) {
        if (isLost) damaged.splice(at, 1 + bit);
        else damaged[at]! ^= 1 << bit;
      }
      return Uint8Array.from(damaged);
    });
  // Marks with a meaning of their own, which random bytes alone seldom put together.
  const marks = fc
    .string({
      unit: fc.constantFrom(...Array.from("##\"\"'',;:=+-.eE0139LVA \r\n")),
      maxLength: 80,
    })
    .map((text) => new Uint8Array(Buffer.from(text)));
  const anything = fc.oneof(fc.uint8Array({ maxLength: 600 }), mutated, marks);

  test("only sound readings come out, and every byte is accounted for", () => {
    fc.assert(
      fc.property(anything, (input) => {
        const decoder = protocol.createDecoder({ notify: "2b18" });
        for (const reading of decoder.push(input)) {
          const json = readingToJson({ ...reading, time_s: 0, channel: "a" });
          expect(readingSchema.safeParse(json).success).toBe(true);
          expect(reading.value === null).toBe(reading.overload !== false);
        }
        if (protocol.frameLength === null) return;
        const { frames, skippedBytes, rejected } = decoder.stats;
        const bad = Object.values(rejected).reduce((sum, count) => sum + count, 0);
        const held = input.length - (frames + bad) * protocol.frameLength - skippedBytes;
        expect(held).toBeGreaterThanOrEqual(0);
        expect(held).toBeLessThan(protocol.frameLength);
      }),
      { numRuns: 500 },
    );
  });
});

import { expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { scriptedIo } from "./scripted-io.js";

test("meters --identify says why a port cannot be listened at, and goes on to the next", async () => {
  const io = scriptedIo();
  const addresses = ["serial:/dev/leadhand-none", "serial:/dev/leadhand-neither"];
  expect(await runProgram(["meters", ...addresses, "--identify", "--json"], io)).toBe(0);
  const lines = io.lines.map((line) => JSON.parse(line) as object);
  expect(lines).toMatchObject([
    { address: addresses[0], error: { code: "meter/absent" } },
    { address: addresses[1], error: { code: "meter/absent" } },
  ]);
});

test("meters without --identify only lists", async () => {
  const io = scriptedIo();
  expect(await runProgram(["meters", "tcp://127.0.0.1:9"], io)).toBe(0);
  expect(io.lines).toEqual(["tcp://127.0.0.1:9"]);
});

test.each([
  ["recorded:somewhere", "usage/meter-kind"],
  ["/dev/ttyUSB0", "usage/meter-address"],
])("meters %s is refused", async (address, code) => {
  const io = scriptedIo();
  expect(await runProgram(["meters", address], io)).toBe(2);
  expect(io.messages.at(-1)).toContain(code);
});

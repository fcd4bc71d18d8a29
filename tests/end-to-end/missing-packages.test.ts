import { execFile } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";

/*
 * A computer without compiler: npm leaves the optional packages out and goes on. The built program
 * has to start all the same, and each kind of link has to say what it lacks.
 */
let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-missing-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

interface Ended {
  readonly status: number | string | null | undefined;
  readonly said: string;
}

function leadhand(...argv: readonly string[]): Promise<Ended> {
  const program = ["--import", "./tests/end-to-end/players/no-native.mjs"];
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [...program, "dist/electron/cli/main.js", ...argv],
      (error, out, err) => resolve({ status: error === null ? 0 : error.code, said: out + err }),
    );
  });
}

test("the list of meters says which kinds are lost, and what to do", async () => {
  const { status, said } = await leadhand("meters", "--radio");
  expect(status).toBe(0);
  for (const code of ["meter/no-hid", "meter/no-ble"]) expect(said).toContain(code);
  expect(said).toContain("run npm ci again");
});

// The port has to be there, or its absence is all there is to say.
test.each([
  ["serial:/dev/null", "meter/no-serial"],
  ["hid:1209:0001", "meter/no-hid"],
  ["ble:METER", "meter/no-ble"],
])("%s: %s", async (address, code) => {
  const job = join(folder, code.replace("/", "-"));
  const meter = `${address}?protocol=segment-14`;
  const { status, said } = await leadhand(
    "run",
    "--plan",
    "cordless-brushed",
    "--meter",
    meter,
    "--job",
    job,
  );
  expect(status).toBe(3);
  expect(said).toContain(code);
});

test("the practice bench does without them", async () => {
  const { status } = await leadhand("practice", "--job", join(folder, "practice"));
  expect([0, 1]).toContain(status);
});

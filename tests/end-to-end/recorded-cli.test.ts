import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Chunk } from "../../protocols/raw-log.js";
import { BlockReader } from "../../protocols/raw-log/block-reader.js";
import { writeTape } from "../electron/recorded-meters.js";
import { leadhand } from "./processes.js";

/** The built program, whole plans, processes of their own: one recording, one journal. */
let folder: string;
let tape: readonly Chunk[];
let made = 0;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "leadhand-recorded-cli-"));
  const meter = "practice:cordless-brushed?fault=switch-burnt&seed=5&pace=at-once";
  await run(meter, join(folder, "practice"));
  const trace = new BlockReader();
  const bytes = readFileSync(join(folder, "practice/traces/a.trace"));
  tape = [...trace.push(bytes), ...trace.end()].flatMap((item) =>
    item.kind === "block" ? item.chunks : [],
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Resolves with the SHA-256 of the journal as it lies on disk. */
async function run(meter: string, job = join(folder, `job-${(made += 1)}`)): Promise<string> {
  const plan = ["--plan", "cordless-brushed", "--meter", meter];
  const child = leadhand(["run", ...plan, "--job", job, "--json"]);
  // 1: a step failed, as it has to with this fault.
  expect([await child.exited, child.errors]).toEqual([1, ""]);
  return createHash("sha256")
    .update(readFileSync(join(job, "journal.ndjson")))
    .digest("hex");
}

test("one recording at two paces and in two cuts: the same journal, to the byte", async () => {
  const job = join(folder, "practice");
  const first = await run(`recorded:${job}?protocol=segment-14&pace=at-once`);
  expect(await run(`recorded:${job}?protocol=segment-14&pace=300`)).toBe(first);
  const bytewise = tape.flatMap(({ bytes, arrival_ns }) =>
    bytes.length === 0
      ? [{ bytes, arrival_ns }]
      : Array.from(bytes, (byte) => ({ bytes: Uint8Array.of(byte), arrival_ns })),
  );
  const path = join(folder, "bytewise.trace");
  writeTape(path, "a", bytewise);
  expect(await run(`recorded:${path}?protocol=segment-14&pace=1000`)).toBe(first);
});

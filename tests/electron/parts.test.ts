import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { partsHandlers } from "../../electron/bench/desk/parts.js";
import { calls } from "../../workbench/contract/calls.js";
import { KINDS } from "../../workbench/models/kinds.js";
import { runProgram } from "../../electron/cli/program.js";
import "../workbench/patience.js";
import { scriptedIo } from "./scripted-io.js";

/** A recorded job with a broken red lead; nothing in here knows prices but the invented list. */
let jobs: string;
const HIDDEN = ["--fault", "lead-red-broken", "--seed", "3"];

async function runCommand(argv: readonly string[]): Promise<{ status: number; out: string }> {
  const io = scriptedIo();
  const status = await runProgram(argv, io);
  return { status, out: io.lines.join("\n") };
}

beforeAll(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-parts-"));
  await runCommand(["practice", ...HIDDEN, "--job", join(jobs, "job-1")]);
});
afterAll(() => rm(jobs, { recursive: true, force: true }));

const asked = { job: "job-1", threshold: 0.5, newTool: 50, perHour: 60 };

test("a job's finding is priced once the shop has imported its list", async () => {
  const handlers = partsHandlers(jobs);
  const before = calls.jobParts.result.parse(await handlers.jobParts(asked));
  expect(before.kind).toBe("cordless-brushed");
  expect(before.finding?.parts.find(({ id }) => id === "lead-red")?.state).toBe("condemned");
  expect(before).toMatchObject({ prices: null, decision: null, partsList: null });

  const { csv } = handlers.demoPrices({ kind: before.kind });
  await handlers.importPrices({ kind: before.kind, csv });
  const after = calls.jobParts.result.parse(await handlers.jobParts(asked));
  expect(after.prices?.currency).toBe("XTS");
  expect(after.decision?.suspects).toEqual(["lead-red"]);
  const [item] = after.decision?.repair?.items ?? [];
  expect(item?.covers).toEqual(["lead-red"]);
  expect(after.decision?.repair?.labour_cost).toBe((after.decision?.repair?.labour_min ?? 0) * 1);
  expect(after.decision?.replace).toEqual({ total: 50 });
  expect(after.partsList?.csv).toContain(item?.number);
});

test("a wrong list is refused with its place, and the one before stays", async () => {
  const handlers = partsHandlers(jobs);
  const kind = "charger";
  const { csv } = handlers.demoPrices({ kind });
  const kept = await handlers.importPrices({ kind, csv });
  const broken = csv.replace("DEMO-002", "DEMO-001");
  await expect(handlers.importPrices({ kind, csv: broken })).rejects.toThrow(
    /line 3, column number/,
  );
  const file = await readFile(join(jobs, "shop", "prices", "charger.json"), "utf8");
  expect((JSON.parse(file) as { csv: string }).csv).toBe(csv);
  expect(kept.items).toBeGreaterThan(2);
});

test.each(KINDS)("the invented list for %s is accepted and looks invented", async (kind) => {
  const handlers = partsHandlers(jobs);
  const { csv } = handlers.demoPrices({ kind });
  const [, ...lines] = csv.trimEnd().split("\r\n");
  for (const line of lines) expect(line).toMatch(/^DEMO-\d+,.*\(invented\),/);
  expect((await handlers.importPrices({ kind, csv })).items).toBe(lines.length);
});

test("the command parts says the same, and writes the parts list", async () => {
  const prices = join(jobs, "prices.csv");
  const { out: list } = await runCommand(["parts", "--demo-prices", "cordless-brushed"]);
  await writeFile(prices, list);
  const order = join(jobs, "order.csv");
  const job = join(jobs, "job-1");
  const terms = ["--prices", prices, "--new-tool", "50", "--threshold", "0.5"];
  const { status, out } = await runCommand([
    "parts",
    job,
    ...terms,
    "--parts-list",
    order,
    "--json",
  ]);
  expect(status).toBe(0);
  const { decision } = JSON.parse(out) as { decision: { suspects: string[] } };
  expect(decision.suspects).toEqual(["lead-red"]);
  expect(await readFile(order, "utf8")).toContain("lead-red");
  const again = await runCommand(["parts", job, ...terms, "--parts-list", order]);
  expect(again.status).toBe(2);
});

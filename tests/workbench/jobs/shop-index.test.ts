import "../patience.js";
import { existsSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { ShopIndex } from "../../../workbench/jobs/shop-index.js";
import { temporaryFolder } from "../job/fixtures.js";
import { sampleRun } from "../job/sample-run.js";

const at = (jobs: string, url: string | null = null) => ({ jobs, bench: "", url });

async function jobsOf(index: ShopIndex): Promise<string[]> {
  return (await index.list({})).rows.map(({ folder }) => folder);
}

test("the index is opened at the first question, follows the folders, and is there again", async () => {
  const jobs = temporaryFolder();
  await sampleRun(join(jobs, "one"));
  const index = new ShopIndex(at(jobs));
  expect(existsSync(join(jobs, "shop"))).toBe(false);
  expect(await jobsOf(index)).toEqual(["one"]);
  await sampleRun(join(jobs, "two"), { startedAt: "2027-01-01T00:00:00Z" });
  expect(await jobsOf(index)).toEqual(["two", "one"]);
  rmSync(join(jobs, "one"), { recursive: true });
  await index.close();

  const again = new ShopIndex(at(jobs));
  const { rows, total, warning } = await again.list({});
  expect([rows.map(({ folder }) => folder), total, warning]).toEqual([["two"], 1, null]);
  await again.close();
});

test("who finds the index taken makes one in memory, and says so", async () => {
  const jobs = temporaryFolder();
  await sampleRun(join(jobs, "one"));
  const [first, second] = [new ShopIndex(at(jobs)), new ShopIndex(at(jobs))];
  expect((await first.list({})).warning).toBeNull();
  const { rows, warning } = await second.list({});
  expect(rows).toHaveLength(1);
  expect(warning).toContain("in use");
  await first.close();
  await second.close();
});

test("an index that cannot be opened any more is made again from the folders", async () => {
  const jobs = temporaryFolder();
  await sampleRun(join(jobs, "one"));
  const index = new ShopIndex(at(jobs));
  await index.list({});
  await index.close();
  const folder = join(jobs, "shop/index/pg");
  for (const name of readdirSync(folder)) rmSync(join(folder, name), { recursive: true });
  writeFileSync(join(folder, "PG_VERSION"), "not a version");
  const again = new ShopIndex(at(jobs));
  expect(await jobsOf(again)).toEqual(["one"]);
  await again.close();
});

test("a server that does not answer keeps nobody from the jobs", async () => {
  const jobs = temporaryFolder();
  await sampleRun(join(jobs, "one"));
  // Port 9 (discard) of this machine: nothing listens there.
  const index = new ShopIndex(at(jobs, "postgresql://bench@127.0.0.1:9/none"));
  const { rows, warning } = await index.list({});
  expect(rows).toHaveLength(1);
  expect(warning).toContain("this bench's own folders");
  await index.close();
});

import { chmodSync, mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { addPhoto } from "../../../workbench/claim/photos.js";
import { defaultKeyPath, openShopKey } from "../../../workbench/claim/shop-key.js";
import { createJob } from "../../../workbench/job/job-folder.js";
import { newJob, temporaryFolder } from "../job/fixtures.js";
import { badClaims, packAgain, tampered, unpacked } from "./sample-pack.js";

test("the key is made once, for its owner alone, and is the same the next time", async () => {
  const path = join(temporaryFolder(), "config", "shop-key.pem");
  const [one, two] = await Promise.all([openShopKey(path), openShopKey(path)]);
  expect(one.fingerprint).toBe(two.fingerprint);
  expect((await openShopKey(path)).fingerprint).toBe(one.fingerprint);
  expect(statSync(path).mode & 0o777).toBe(0o600);
  expect(statSync(join(path, "..")).mode & 0o777).toBe(0o700);
  expect(readFileSync(path, "utf8")).toContain("PRIVATE KEY");
});

test("a key that others may read, and a file that is no key, are refused", async () => {
  const path = join(temporaryFolder(), "shop-key.pem");
  await openShopKey(path);
  chmodSync(path, 0o644);
  await expect(openShopKey(path)).rejects.toMatchObject({ code: "pack/key-exposed" });
  writeFileSync(path, "no key");
  chmodSync(path, 0o600);
  await expect(openShopKey(path)).rejects.toMatchObject({ code: "pack/key-unreadable" });
  mkdirSync(join(path, "..", "folder"), { mode: 0o700 });
  await expect(openShopKey(join(path, "..", "folder"))).rejects.toThrow("[pack/key");
});

test("the key's place follows the system's rules", () => {
  expect(defaultKeyPath({ LEADHAND_CONFIG: "/x" })).toBe("/x/shop-key.pem");
  expect(defaultKeyPath({ XDG_CONFIG_HOME: "/c" })).toBe("/c/leadhand/shop-key.pem");
});

/** One transparent pixel. */
const PNG = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==",
  "base64",
);

test("a photo goes into job, report and pack, with its caption for those who cannot see it", async () => {
  const folder = temporaryFolder();
  const job = await createJob(join(folder, "job"), newJob());
  const photo = { bytes: PNG, caption: "Burnt terminal", moment: "on-arrival", time_s: 3 } as const;
  const file = await addPhoto(job, photo);
  await expect(addPhoto(job, { ...photo, bytes: Buffer.from("<svg/>") })).rejects.toMatchObject({
    code: "job/photo",
  });
  await job.close();
  const { out } = await packAgain(join(folder, "job"), join(folder, "claim.zip"));
  const files = await unpacked(out);
  const named = (ending: string): Buffer => [...files].find(([name]) => name.endsWith(ending))![1];
  expect(named(file).equals(PNG)).toBe(true);
  expect(named("report.html").toString()).toContain('alt="Burnt terminal"');
  expect(await badClaims(out)).toEqual([]);
  const swapped = await tampered(
    out,
    (all, name) => void all.set(`${name}/data/job/${file}`, PNG.subarray(1)),
  );
  expect(await badClaims(swapped)).toEqual(["altered", "size", "journal"]);
});

import "../patience.js";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { verifyPack } from "../../../workbench/claim/verify.js";
import { temporaryFolder } from "../job/fixtures.js";
import { makeZip, type RawEntry } from "./make-zip.js";
import {
  badClaims,
  packAgain,
  sampleKey,
  samplePack,
  tampered,
  unpacked,
  VERSION,
} from "./sample-pack.js";

test("a pack as it was made: every claim is looked at and good", async () => {
  const { out, fingerprint } = await samplePack(temporaryFolder());
  const { checks, good } = await verifyPack(out, fingerprint, VERSION);
  expect(checks.map(({ claim, outcome }) => `${claim} ${outcome}`)).toEqual([
    "container good",
    "bag good",
    "altered good",
    "missing good",
    "added good",
    "size good",
    "tags good",
    "signature good",
    "key good",
    "journal good",
    "traces good",
    "readings good",
    "verdicts good",
  ]);
  expect(good).toBe(true);
});

test("without a key to expect, whose key it is stays open and is told", async () => {
  const { out, fingerprint } = await samplePack(temporaryFolder());
  const key = (await verifyPack(out, null, VERSION)).checks.find(({ claim }) => claim === "key");
  expect(key?.outcome).toBe("open");
  expect(key?.words.replaceAll(" ", "")).toContain(fingerprint);
  expect(await badClaims(out, "0".repeat(64))).toEqual(["key"]);
});

test("every file of a pack: one flipped bit in it is found", async () => {
  const { out } = await samplePack(temporaryFolder());
  for (const name of (await unpacked(out)).keys()) {
    const target = await tampered(out, (files) => {
      const bytes = files.get(name)!;
      bytes[bytes.length >> 1] = bytes[bytes.length >> 1]! ^ 1;
    });
    const found = await badClaims(target);
    expect(found, name).not.toEqual([]);
    if (name.includes("/data/")) expect(found, name).toContain("altered");
  }
});

test("a missing, an added and a shortened file each get their own answer", async () => {
  const { out } = await samplePack(temporaryFolder());
  const missing = await tampered(out, (files, folder) => {
    files.delete(`${folder}/data/readings/a.csv`);
  });
  expect(await badClaims(missing)).toEqual(["missing", "size"]);
  const added = await tampered(out, (files, folder) => {
    files.set(`${folder}/data/extra.txt`, Buffer.from("more"));
  });
  expect(await badClaims(added)).toEqual(["added", "size"]);
  const beside = await tampered(out, (files, folder) => {
    files.set(`${folder}/READ-ME-FIRST.txt`, Buffer.from("all is well"));
  });
  expect(await badClaims(beside)).toEqual(["tags"]);
  const short = await tampered(out, (files, folder) => {
    const name = `${folder}/data/job/traces/a.trace`;
    files.set(name, files.get(name)!.subarray(0, -5));
  });
  const { checks } = await verifyPack(short, null, VERSION);
  expect(checks.find(({ claim }) => claim === "size")?.words).toContain("5 bytes short");
  expect(checks.find(({ claim }) => claim === "traces")?.places[0]).toContain("torn");
});

test("a manifest that was mended after the alteration breaks the chain to the signature", async () => {
  const folder = temporaryFolder();
  const { out } = await samplePack(folder);
  const other = await packAgain(join(folder, "job"), join(folder, "other.zip"), {
    shop: "Another",
  });
  const files = await unpacked(other.out);
  const mended = await tampered(out, (all, name) => {
    for (const file of ["data/report.html", "manifest-sha256.txt", "bag-info.txt"]) {
      all.set(`${name}/${file}`, files.get(`${name}/${file}`)!);
    }
  });
  expect(await badClaims(mended)).toEqual(["tags"]);
  const further = await tampered(mended, (all, name) => {
    const tags = `${name}/tagmanifest-sha256.txt`;
    all.set(tags, files.get(tags)!);
  });
  expect(await badClaims(further)).toEqual(["signature"]);
});

test("a signature that is absent, and a key that is none", async () => {
  const { out } = await samplePack(temporaryFolder());
  const unsigned = await tampered(out, (files, folder) => {
    files.delete(`${folder}/signature/tagmanifest-sha256.txt.sig`);
  });
  expect(await badClaims(unsigned)).toEqual(["signature"]);
  const keyless = await tampered(out, (files, folder) => {
    files.set(`${folder}/signature/shop-key.pem`, Buffer.from("no key"));
  });
  expect(await badClaims(keyless, sampleKey.fingerprint)).toEqual(["tags", "signature", "key"]);
});

test("a zip that ends early, and a file that is no zip", async () => {
  const { out } = await samplePack(temporaryFolder());
  const whole = readFileSync(out);
  for (const length of [whole.length - 1, whole.length >> 1, 10, 0]) {
    writeFileSync(out, whole.subarray(0, length));
    const { checks, good } = await verifyPack(out, null, VERSION);
    expect(good).toBe(false);
    expect(checks[0]?.words).toContain("cut short or is not a zip");
    expect(checks.slice(1).every(({ outcome }) => outcome === "open")).toBe(true);
  }
  await expect(verifyPack(join(out, "..", "no.zip"), null, VERSION)).rejects.toMatchObject({
    code: "pack/not-found",
  });
});

const text = Buffer.from("x");
const zeros = Buffer.alloc(40 << 20);
const hostile: readonly (readonly [string, readonly RawEntry[], string])[] = [
  ["a path upwards", [{ name: "a/../../evil", bytes: text }], "outside of its folder"],
  ["an absolute path", [{ name: "/etc/evil", bytes: text }], "outside of its folder"],
  ["a drive", [{ name: "C:/evil", bytes: text }], "outside of its folder"],
  ["a backslash", [{ name: "a\\..\\evil", bytes: text }], "outside of its folder"],
  ["a control character", [{ name: "a/b\u0007", bytes: text }], "outside of its folder"],
  ["a name that is not UTF-8", [{ name: Uint8Array.of(0x61, 0x2f, 0xff) }], "not UTF-8"],
  ["one name twice", [{ name: "a/b" }, { name: "a/b" }], "have one name"],
  ["one name in two cases", [{ name: "a/b" }, { name: "a/B" }], "have one name"],
  ["one name in two Unicode forms", [{ name: "a/\u00e9" }, { name: "a/e\u0301" }], "have one name"],
  ["a symbolic link", [{ name: "a/b", bytes: text, mode: 0o120777 }], "a link or a device"],
  ["a device", [{ name: "a/b", mode: 0o020666 }], "a link or a device"],
  ["an encrypted file", [{ name: "a/b", bytes: text, flags: 0x0801, deflate: true }], "encrypted"],
  [
    "a file that unpacks a thousandfold",
    [{ name: "a/b", bytes: zeros, deflate: true }],
    "far more",
  ],
  [
    "a file larger than it says",
    [{ name: "a/b", bytes: Buffer.alloc(5000), deflate: true, claimedSize: 10 }],
    "damaged",
  ],
  [
    "two entries of the same bytes",
    [
      { name: "a/b", bytes: text },
      { name: "a/c", bytes: text, at: 0, localName: "a/b" },
    ],
    "damaged",
  ],
  ["two names in the two headers", [{ name: "a/b", localName: "a/c", bytes: text }], "damaged"],
  ["two folders", [{ name: "a/b" }, { name: "c/d" }], "not a claim pack"],
];

test.each(hostile)(
  "a hostile zip with %s is refused and touches nothing",
  async (_, entries, words) => {
    const folder = temporaryFolder();
    const path = join(folder, "hostile.zip");
    writeFileSync(path, makeZip(entries));
    const { checks, good } = await verifyPack(path, null, VERSION);
    expect(good).toBe(false);
    expect(checks[0]).toMatchObject({ claim: "container", outcome: "bad" });
    expect(checks[0]?.words).toContain(words);
    expect(readdirSync(folder)).toEqual(["hostile.zip"]);
  },
);

test("a zip of a hundred thousand names is refused by its count", async () => {
  const path = join(temporaryFolder(), "many.zip");
  writeFileSync(path, makeZip(Array.from({ length: 20_000 }, (_, n) => ({ name: `a/${n}` }))));
  expect((await verifyPack(path, null, VERSION)).checks[0]?.words).toContain("far more");
});

test("without the customer nothing names him, and the pack verifies", async () => {
  const folder = temporaryFolder();
  await samplePack(folder);
  const out = join(folder, "private.zip");
  await packAgain(join(folder, "job"), out, { withCustomer: false });
  const all = Buffer.concat([...(await unpacked(out)).values()]).toString("latin1");
  expect(all).not.toContain("Pat Sample");
  expect(all).not.toContain("R-9");
  expect(await badClaims(out, sampleKey.fingerprint)).toEqual([]);
});

test("the same job, key and day give the same pack to the byte", async () => {
  const folder = temporaryFolder();
  await samplePack(folder);
  const again = await packAgain(join(folder, "job"), join(folder, "again.zip"));
  expect(readFileSync(again.out).equals(readFileSync(join(folder, "claim.zip")))).toBe(true);
});

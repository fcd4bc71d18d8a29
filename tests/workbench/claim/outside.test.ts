import "../patience.js";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { parquetReadObjects } from "hyparquet";
import { expect, test } from "vitest";
import { browserPrinter, findPrinter } from "../../../workbench/claim/print-pdf.js";
import { sampleRun } from "../job/sample-run.js";
import { temporaryFolder } from "../job/fixtures.js";
import { output, testWith } from "./outside-tools.js";
import { packAgain, samplePack, unpacked } from "./sample-pack.js";

/** A pack, unpacked by the system's own unzip; resolves with the bag's folder. */
async function unzippedPack(): Promise<{ bag: string; zip: string; fingerprint: string }> {
  const folder = temporaryFolder();
  const { out, fingerprint } = await samplePack(folder);
  output("unzip", ["-q", out, "-d", join(folder, "x")], folder);
  const [name = ""] = readdirSync(join(folder, "x"));
  return { bag: join(folder, "x", name), zip: out, fingerprint };
}

testWith("unzip", "unzip -t finds no fault in the zip", async () => {
  const { out } = await samplePack(temporaryFolder());
  expect(output("unzip", ["-t", out], "/")).toContain("No errors detected");
});

testWith("sha256sum", "sha256sum -c alone confirms every file", async () => {
  const { bag } = await unzippedPack();
  const payload = output("sha256sum", ["-c", "manifest-sha256.txt"], bag);
  expect(
    payload
      .trim()
      .split("\n")
      .every((line) => line.endsWith(": OK")),
  ).toBe(true);
  output("sha256sum", ["-c", "tagmanifest-sha256.txt"], bag);
  writeFileSync(join(bag, "data/plan.json"), "{}");
  expect(() => output("sha256sum", ["-c", "manifest-sha256.txt"], bag)).toThrow("FAILED");
});

testWith(
  "openssl",
  "openssl confirms signature and fingerprint, as HOW-TO-CHECK tells",
  async () => {
    const { bag, fingerprint } = await unzippedPack();
    const how = readFileSync(join(bag, "HOW-TO-CHECK.txt"), "utf8");
    const commands = how.match(/^ {5}openssl pkeyutl[^\n]*\n[^\n]*$/m)?.[0] ?? "";
    expect(output("sh", ["-c", commands], bag)).toContain("Signature Verified Successfully");
    const told = /^ {5}openssl pkey -pubin[^\n]*$/m.exec(how)?.[0] ?? "";
    expect(output("sh", ["-c", told], bag)).toContain(fingerprint);
  },
);

testWith(
  "sh",
  "the chain of the journal is confirmed by the commands of HOW-TO-CHECK",
  async () => {
    const { bag } = await unzippedPack();
    const how = readFileSync(join(bag, "HOW-TO-CHECK.txt"), "utf8");
    const hash = output("sh", ["-c", /^ {5}sed -n 4p.*$/m.exec(how)?.[0] ?? ""], bag).slice(0, 64);
    expect(output("sh", ["-c", /^ {5}sed -n 5p.*$/m.exec(how)?.[0] ?? ""], bag)).toContain(hash);
  },
);

/** RFC 8493, section 3 ("complete" and "valid"), with nothing but Python's standard library. */
const BAG_CHECK = `
import hashlib, os, re, sys
bag = sys.argv[1]
read = lambda p: open(os.path.join(bag, p), encoding="utf-8", newline="").read()
assert re.fullmatch(r"BagIt-Version: \\d+\\.\\d+\\r?\\nTag-File-Character-Encoding: \\S+\\r?\\n?", read("bagit.txt"))
def check(manifest):
    listed = {}
    for line in read(manifest).splitlines():
        digest, path = line.split(None, 1)
        assert path not in listed and not path.startswith(("/", "~")) and ".." not in path.split("/")
        listed[path] = digest
        body = open(os.path.join(bag, path), "rb").read()
        assert hashlib.sha256(body).hexdigest() == digest.lower(), path
    return listed
payload = check("manifest-sha256.txt")
found = {os.path.relpath(os.path.join(d, f), bag) for d, _, fs in os.walk(os.path.join(bag, "data")) for f in fs}
assert found == set(payload), found ^ set(payload)
tags = check("tagmanifest-sha256.txt")
assert "manifest-sha256.txt" in tags and not any(t.startswith("tagmanifest-") for t in tags)
info = dict(line.split(": ", 1) for line in read("bag-info.txt").splitlines())
octets = sum(os.path.getsize(os.path.join(bag, p)) for p in payload)
assert info["Payload-Oxum"] == f"{octets}.{len(payload)}", info
print("valid")
`;

testWith(
  "python3",
  "a reading of RFC 8493 in Python's standard library finds the bag valid",
  async () => {
    const { bag } = await unzippedPack();
    expect(output("python3", ["-c", BAG_CHECK, bag], "/")).toBe("valid\n");
  },
);

testWith(
  "python3",
  "Python's csv reads the table as a kept library and the metadata do",
  async () => {
    const { bag } = await unzippedPack();
    const path = join(bag, "data/readings/a.csv");
    const script =
      "import csv,json,sys; print(json.dumps(list(csv.DictReader(open(sys.argv[1], newline='')))))";
    const byPython: unknown = JSON.parse(output("python3", ["-c", script, path], "/"));
    const byLibrary: unknown = parse(readFileSync(path), { columns: true });
    expect(byLibrary).toEqual(byPython);
    expect(byPython).toHaveLength(120);
    expect((byPython as Record<string, string>[])[40]).toMatchObject({ value: "19.84", unit: "V" });
    const metadata = JSON.parse(readFileSync(`${path}-metadata.json`, "utf8")) as {
      tableSchema: { columns: { name: string }[] };
    };
    expect(metadata.tableSchema.columns.map(({ name }) => name)).toEqual(
      Object.keys((byPython as object[])[0]!),
    );
  },
);

test("the Parquet file holds the same readings as the CSV", async () => {
  const { out } = await samplePack(temporaryFolder());
  const files = await unpacked(out);
  const named = (ending: string): Buffer => [...files].find(([name]) => name.endsWith(ending))![1];
  const parquet = named(".parquet");
  const file = new Uint8Array(parquet).buffer;
  const rows = await parquetReadObjects({ file });
  const table = parse(named("a.csv"), { columns: true }) as unknown as Record<string, string>[];
  expect(rows).toHaveLength(table.length);
  for (const [index, row] of rows.entries()) {
    const text = Object.entries(row).map(([name, value]) => [name, String(value ?? "")]);
    expect(Object.fromEntries(text)).toEqual(table[index]);
  }
});

const printer = findPrinter(process.env);

testWith(
  printer ?? "a-chromium-browser",
  "the PDF says what the report says, page by page",
  async () => {
    const folder = temporaryFolder();
    await sampleRun(join(folder, "job"));
    const out = join(folder, "claim.zip");
    const { warnings } = await packAgain(join(folder, "job"), out, {
      printPdf: browserPrinter(printer!),
    });
    expect(warnings).toEqual([]);
    const pdf = [...(await unpacked(out))].find(([name]) => name.endsWith("report.pdf"))![1];
    const path = join(folder, "report.pdf");
    writeFileSync(path, pdf);
    const text = output("pdftotext", ["-layout", path, "-"], folder);
    for (const words of ["DEMO-0001", "12.11 V ± 0.087 V", "FAIL", "What was not checked"]) {
      expect(text).toContain(words);
    }
    const [first = ""] = text.split("\f");
    expect(first).toContain("What is wrong");
    expect(first).not.toContain("Check by check");
    expect(output("pdfinfo", [path], folder)).toMatch(/Page size: +59[45]\.?\d* x 84[12]/);
    output("pdftoppm", ["-r", "40", "-png", path, join(folder, "page")], folder);
    expect(readdirSync(folder).filter((name) => name.startsWith("page"))).not.toEqual([]);
  },
);

import {
  BAG_DECLARATION,
  MANIFEST,
  parseBagInfo,
  parseManifest,
  parseOxum,
  TAG_MANIFEST,
  type ManifestEntry,
} from "./bag.js";
import { check, type Check } from "./check.js";
import { textOf, type OpenPack } from "./open-pack.js";
import { SIGNATURE_FILE } from "./write-bag.js";

/** The files of a bag against its manifests (RFC 8493, section 3). */
export async function checkFiles(pack: OpenPack): Promise<Check[]> {
  const declared = await checkDeclaration(pack);
  const manifest = await readManifest(pack, MANIFEST);
  if (typeof manifest === "string")
    return [declared, check("altered", "bad", manifest, [MANIFEST])];
  return [
    declared,
    checkAltered(pack, manifest),
    checkMissing(pack, manifest),
    checkAdded(pack, manifest),
    await checkSize(pack),
    await checkTags(pack),
  ];
}

async function checkDeclaration(pack: OpenPack): Promise<Check> {
  const text = await textOf(pack, "bagit.txt");
  if (text === null) return check("bag", "bad", "There is no bagit.txt: this is not a bag.");
  if (text.replaceAll("\r\n", "\n") !== BAG_DECLARATION) {
    return check("bag", "bad", "bagit.txt does not declare a bag of version 1.0 in UTF-8.");
  }
  return check("bag", "good", "It is a BagIt bag, version 1.0.");
}

function checkAltered(pack: OpenPack, manifest: readonly ManifestEntry[]): Check {
  const altered = differing(pack, manifest);
  if (altered.length > 0) {
    return check(
      "altered",
      "bad",
      `${files(altered)} not as packed: the checksum differs.`,
      altered,
    );
  }
  return check("altered", "good", "No file that is here was altered.");
}

function checkMissing(pack: OpenPack, manifest: readonly ManifestEntry[]): Check {
  const missing = manifest.map(({ path }) => path).filter((path) => !pack.files.has(path));
  if (missing.length > 0) return check("missing", "bad", `${files(missing)} missing.`, missing);
  return check("missing", "good", `All ${manifest.length} files of the manifest are here.`);
}

function checkAdded(pack: OpenPack, manifest: readonly ManifestEntry[]): Check {
  const known = new Set(manifest.map(({ path }) => path));
  const added = [...pack.files.keys()].filter(
    (path) => path.startsWith("data/") && !known.has(path),
  );
  if (added.length > 0) {
    return check(
      "added",
      "bad",
      `${files(added)} not in the manifest: added after packing.`,
      added,
    );
  }
  return check("added", "good", "No file was added.");
}

async function checkSize(pack: OpenPack): Promise<Check> {
  const info = parseBagInfo((await textOf(pack, "bag-info.txt")) ?? "");
  const oxum = parseOxum(info.find(([label]) => label === "Payload-Oxum")?.[1] ?? "");
  if (oxum === null)
    return check("size", "absent", "The pack does not say how large it should be.");
  const payload = [...pack.files].filter(([path]) => path.startsWith("data/"));
  const octets = payload.reduce((sum, [, { bytes }]) => sum + bytes, 0);
  if (octets === oxum.octets && payload.length === oxum.files) {
    return check("size", "good", `${octets} bytes in ${payload.length} files, as it says.`);
  }
  const short = octets < oxum.octets ? `${oxum.octets - octets} bytes short` : "too large";
  const words = `It holds ${octets} bytes in ${payload.length} files and says ${oxum.octets} in ${oxum.files}: ${short}.`;
  return check("size", "bad", words);
}

async function checkTags(pack: OpenPack): Promise<Check> {
  const manifest = await readManifest(pack, TAG_MANIFEST);
  if (typeof manifest === "string") return check("tags", "bad", manifest, [TAG_MANIFEST]);
  const bad = [
    ...differing(pack, manifest),
    ...manifest.map(({ path }) => path).filter((path) => !pack.files.has(path)),
  ];
  if (bad.length > 0) return check("tags", "bad", `${files(bad)} altered or missing.`, bad);
  const listed = new Set([...manifest.map(({ path }) => path), TAG_MANIFEST, SIGNATURE_FILE]);
  const added = [...pack.files.keys()].filter(
    (path) => !path.startsWith("data/") && !listed.has(path),
  );
  if (added.length > 0) {
    return check("tags", "bad", `${files(added)} beside the payload, added after packing.`, added);
  }
  if (!listed.has(MANIFEST)) {
    return check("tags", "bad", `${TAG_MANIFEST} does not cover ${MANIFEST}.`, [MANIFEST]);
  }
  return check("tags", "good", "The manifest and the files beside the payload are as packed.");
}

function differing(pack: OpenPack, manifest: readonly ManifestEntry[]): string[] {
  return manifest
    .filter(({ path, sha256 }) => {
      const file = pack.files.get(path);
      return file !== undefined && file.sha256 !== sha256;
    })
    .map(({ path }) => path);
}

/** The entries, or in words why there are none. */
async function readManifest(pack: OpenPack, path: string): Promise<ManifestEntry[] | string> {
  const text = await textOf(pack, path);
  if (text === null) return `There is no ${path}.`;
  try {
    const entries = parseManifest(text);
    const paths = new Set(entries.map((entry) => entry.path));
    return paths.size === entries.length ? entries : `${path} names a file twice.`;
  } catch (thrown) {
    return `${path} cannot be read: ${thrown instanceof Error ? thrown.message : String(thrown)}.`;
  }
}

function files(paths: readonly string[]): string {
  return paths.length === 1 ? "1 file is" : `${paths.length} files are`;
}

/** The texts of a BagIt bag (RFC 8493). Paths are relative to the bag, with slashes. */

export const BAG_DECLARATION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
export const MANIFEST = "manifest-sha256.txt";
export const TAG_MANIFEST = "tagmanifest-sha256.txt";

export interface ManifestEntry {
  readonly path: string;
  /** SHA-256, 64 hexadecimal digits. */
  readonly sha256: string;
}

/** Lines in order of path, two spaces as `sha256sum -c` wants them (RFC 8493, 2.1.3). */
export function formatManifest(entries: readonly ManifestEntry[]): string {
  return [...entries]
    .sort((a, b) => (a.path < b.path ? -1 : 1))
    .map(({ path, sha256 }) => `${sha256}  ${encodePath(path)}\n`)
    .join("");
}

/** Throws a plain Error that names the line which is not one of a manifest. */
export function parseManifest(text: string): ManifestEntry[] {
  const entries: ManifestEntry[] = [];
  for (const [index, line] of linesOf(text).entries()) {
    if (line === "") continue;
    const match = /^([0-9A-Fa-f]{64})[ \t]+\*?(.+)$/.exec(line);
    if (match === null) throw new Error(`line ${index + 1} is not a checksum and a path`);
    const [, sha256 = "", path = ""] = match;
    entries.push({ path: decodePath(path), sha256: sha256.toLowerCase() });
  }
  return entries;
}

/** Only CR, LF and % are written in percent form (RFC 8493, 2.1.3). */
function encodePath(path: string): string {
  return path.replaceAll("%", "%25").replaceAll("\n", "%0A").replaceAll("\r", "%0D");
}

function decodePath(path: string): string {
  return path.replaceAll(/%(25|0A|0D)/gi, (whole) => decodeURIComponent(whole));
}

export type BagInfo = readonly (readonly [label: string, value: string])[];

/** `Label: value` lines; a line break inside a value is folded to a space. */
export function formatBagInfo(info: BagInfo): string {
  return info
    .filter(([, value]) => value !== "")
    .map(([label, value]) => `${label}: ${value.replaceAll(/\s+/g, " ").trim()}\n`)
    .join("");
}

/** A line that begins with white space continues the one before (RFC 8493, 2.2.2). */
export function parseBagInfo(text: string): BagInfo {
  const info: (readonly [string, string])[] = [];
  for (const line of linesOf(text)) {
    const last = info.at(-1);
    if (/^[ \t]/.test(line) && last !== undefined) {
      info[info.length - 1] = [last[0], `${last[1]} ${line.trim()}`];
      continue;
    }
    const colon = line.indexOf(":");
    if (colon > 0) info.push([line.slice(0, colon).trim(), line.slice(colon + 1).trim()]);
  }
  return info;
}

export interface Oxum {
  readonly octets: number;
  readonly files: number;
}

export function formatOxum({ octets, files }: Oxum): string {
  return `${octets}.${files}`;
}

/** null where it is not `octets.files`. */
export function parseOxum(text: string): Oxum | null {
  const match = /^(\d+)\.(\d+)$/.exec(text);
  return match === null ? null : { octets: Number(match[1]), files: Number(match[2]) };
}

function linesOf(text: string): string[] {
  return text.split(/\r\n|\n|\r/);
}

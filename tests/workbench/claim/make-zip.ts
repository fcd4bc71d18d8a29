import { crc32, deflateRawSync } from "node:zlib";

/** An entry as an enemy would write it: nothing is checked. */
export interface RawEntry {
  readonly name: string | Uint8Array;
  readonly bytes?: Uint8Array;
  /** Unix mode in the upper half of the external attributes. */
  readonly mode?: number;
  readonly flags?: number;
  /** What the directory claims the content's size is. */
  readonly claimedSize?: number;
  readonly deflate?: boolean;
  /** Name in the entry's own header, where it is another. */
  readonly localName?: string;
  /** Place of the local header, to share bytes with another entry. */
  readonly at?: number;
}

/** A zip of such entries (APPNOTE 6.3, local headers, directory, end record). */
export function makeZip(entries: readonly RawEntry[]): Buffer {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let length = 0;
  for (const entry of entries) {
    const local = localPart(entry);
    directory.push(directoryRecord(entry, entry.at ?? length));
    if (entry.at !== undefined) continue;
    parts.push(local);
    length += local.length;
  }
  const listed = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(entries.length, 8);
  end.writeUInt16LE(entries.length, 10);
  end.writeUInt32LE(listed.length, 12);
  end.writeUInt32LE(length, 16);
  return Buffer.concat([...parts, listed, end]);
}

function localPart(entry: RawEntry): Buffer {
  const name = Buffer.from(entry.localName ?? entry.name);
  const header = Buffer.alloc(30);
  header.writeUInt32LE(0x04034b50, 0);
  fields(entry).copy(header, 4);
  header.writeUInt16LE(name.length, 26);
  return Buffer.concat([header, name, packed(entry)]);
}

function directoryRecord(entry: RawEntry, at: number): Buffer {
  const name = Buffer.from(entry.name);
  const record = Buffer.alloc(46);
  record.writeUInt32LE(0x02014b50, 0);
  record.writeUInt16LE((3 << 8) | 20, 4);
  fields(entry).copy(record, 6);
  record.writeUInt16LE(name.length, 28);
  record.writeUInt32LE(((entry.mode ?? 0o100644) << 16) >>> 0, 38);
  record.writeUInt32LE(at, 42);
  return Buffer.concat([record, name]);
}

/** Version, flags, method, time, CRC-32, sizes: the same in both headers. */
function fields(entry: RawEntry): Buffer {
  const bytes = entry.bytes ?? new Uint8Array(0);
  const shared = Buffer.alloc(22);
  shared.writeUInt16LE(20, 0);
  shared.writeUInt16LE(entry.flags ?? 0x0800, 2);
  shared.writeUInt16LE(entry.deflate ? 8 : 0, 4);
  shared.writeUInt16LE(0x21, 8);
  shared.writeUInt32LE(crc32(bytes), 10);
  shared.writeUInt32LE(packed(entry).length, 14);
  shared.writeUInt32LE(entry.claimedSize ?? bytes.length, 18);
  return shared;
}

function packed(entry: RawEntry): Buffer {
  const bytes = entry.bytes ?? new Uint8Array(0);
  return entry.deflate ? deflateRawSync(bytes) : Buffer.from(bytes);
}

import { createHash } from "node:crypto";
import { join } from "node:path";
import { LeadhandError } from "../../protocols/error.js";
import { nodeDisk, type Disk } from "../job/disk.js";
import type { Job } from "../job/job-folder.js";
import type { JobContent } from "../job/read-job.js";
import { diskTrouble } from "../job/trouble.js";
import type { ReportPhoto } from "./report/model.js";

/** Kinds of picture that a browser prints, told by their first bytes, never by their name. */
const KINDS: readonly {
  readonly type: string;
  readonly ending: string;
  readonly magic: number[];
}[] = [
  { type: "image/jpeg", ending: "jpg", magic: [0xff, 0xd8, 0xff] },
  { type: "image/png", ending: "png", magic: [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] },
];

interface NewPhoto {
  readonly bytes: Uint8Array;
  readonly caption: string;
  readonly moment: ReportPhoto["moment"];
  readonly time_s: number;
  /** The part taken off that it shows. */
  readonly of?: { readonly step: string; readonly item: number };
}

/** Puts a photo into an open job. Rejects with `job/photo` where it is neither JPEG nor PNG. */
export async function addPhoto(
  job: Pick<Job, "folder" | "record">,
  photo: NewPhoto,
  disk: Disk = nodeDisk,
): Promise<string> {
  const kind = kindOf(photo.bytes);
  if (kind === null) {
    throw new LeadhandError("job/photo", {
      what: "This file is not a photo in JPEG or PNG.",
      action: "Save the photo as JPEG or PNG and add it again.",
    });
  }
  const sha256 = createHash("sha256").update(photo.bytes).digest("hex");
  // Named by its content: the same picture twice is one file, and no name can do harm.
  const file = `photos/${sha256.slice(0, 16)}.${kind.ending}`;
  try {
    await disk.makeFolder(join(job.folder, "photos"));
    await disk.replace(join(job.folder, file), photo.bytes);
  } catch (thrown) {
    throw diskTrouble(thrown, file);
  }
  const { caption, moment, time_s, of } = photo;
  const about = of === undefined ? {} : { of };
  await job.record({ kind: "photo", time_s, file, sha256, caption, moment, ...about });
  return file;
}

/** The photos of a job as its report shows them. */
export async function reportPhotos(job: JobContent, disk: Disk = nodeDisk): Promise<ReportPhoto[]> {
  const photos: ReportPhoto[] = [];
  for (const { event } of job.lines) {
    if (event.kind !== "photo") continue;
    const { file, caption, moment } = event;
    const bytes = isPhotoName(file) ? await disk.readWhole(join(job.folder, file)) : null;
    photos.push({ file, caption, moment, data: bytes === null ? null : dataAddress(bytes) });
  }
  return photos;
}

/** Only what `addPhoto` names: a journal from elsewhere must not make us read other files. */
export function isPhotoName(file: string): boolean {
  return /^photos\/[0-9a-f]{16}\.(jpg|png)$/.test(file);
}

export function dataAddress(bytes: Uint8Array): string | null {
  const kind = kindOf(bytes);
  return kind === null ? null : `data:${kind.type};base64,${Buffer.from(bytes).toString("base64")}`;
}

function kindOf(bytes: Uint8Array): (typeof KINDS)[number] | null {
  return KINDS.find(({ magic }) => magic.every((byte, at) => bytes[at] === byte)) ?? null;
}

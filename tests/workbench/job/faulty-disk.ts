import { nodeDisk, type Disk, type DiskFile } from "../../../workbench/job/disk.js";

/** What a test makes fail: set while the job runs. */
export interface Faults {
  /** Bytes that still fit on the disk. */
  room: number;
  /** System error that the next syncs reject with. */
  sync: string | null;
  /** System error of whatever would change the disk. */
  change: string | null;
}

/** The real disk, with faults as the system reports them. */
export function faultyDisk(): { disk: Disk; faults: Faults } {
  const faults: Faults = { room: Infinity, sync: null, change: null };
  const refuse = (): void => {
    if (faults.change !== null) throw systemError(faults.change);
  };
  const disk: Disk = {
    ...nodeDisk,
    async makeFolder(path) {
      refuse();
      await nodeDisk.makeFolder(path);
    },
    async claim(path, content) {
      refuse();
      return nodeDisk.claim(path, content);
    },
    async replace(path, content) {
      refuse();
      await nodeDisk.replace(path, content);
    },
    open: async (path) => faultyFile(await nodeDisk.open(path), faults),
  };
  return { disk, faults };
}

function faultyFile(file: DiskFile, faults: Faults): DiskFile {
  return {
    read: (position, length) => file.read(position, length),
    size: () => file.size(),
    truncate: (length) => file.truncate(length),
    close: () => file.close(),
    async write(bytes, position) {
      if (faults.change !== null) throw systemError(faults.change);
      // A full disk takes a part and then refuses.
      const fits = bytes.subarray(0, Math.min(bytes.length, faults.room));
      await file.write(fits, position);
      faults.room -= fits.length;
      if (fits.length < bytes.length) throw systemError("ENOSPC");
    },
    async sync() {
      if (faults.sync !== null) throw systemError(faults.sync);
      await file.sync();
    },
  };
}

function systemError(code: string): Error {
  return Object.assign(new Error(`${code}: as the system says it`), { code });
}

import { constants } from "node:fs";
import { access, readFile, stat } from "node:fs/promises";
import type { NodeOwner } from "./trouble.js";

/** Looks at device files; injected, so that tests can take a device away. */
export interface DeviceNodes {
  /** Changes when the device was replaced under the same name; null: there is none. */
  identity(path: string): Promise<string | null>;
  /** The operating system's word for why we may not read and write it; null: we may. */
  refusal(path: string): Promise<string | null>;
  owner(path: string): Promise<NodeOwner | null>;
}

export const deviceNodes: DeviceNodes = {
  async identity(path) {
    try {
      const found = await stat(path, { bigint: true });
      return `${String(found.dev)}:${String(found.ino)}:${String(found.rdev)}`;
    } catch {
      return null;
    }
  },
  async refusal(path) {
    try {
      await access(path, constants.R_OK | constants.W_OK);
      return null;
    } catch (thrown) {
      return (thrown as NodeJS.ErrnoException).code ?? "unknown";
    }
  },
  async owner(path) {
    try {
      const found = await stat(path);
      return { group: await groupName(found.gid), groupMayUse: (found.mode & 0o060) === 0o060 };
    } catch {
      return null;
    }
  },
};

async function groupName(gid: number): Promise<string> {
  const groups = await readFile("/etc/group", "utf8").catch(() => "");
  const line = groups.split("\n").find((each) => each.split(":")[2] === String(gid));
  return line?.split(":")[0] ?? String(gid);
}

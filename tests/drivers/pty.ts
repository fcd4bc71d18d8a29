import { spawn, spawnSync } from "node:child_process";
import { constants, existsSync } from "node:fs";
import { mkdtemp, open, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const hasSocat = spawnSync("socat", ["-V"]).status === 0;

/** A serial line of this computer's own: the program opens `path`, the test is at the other end. */
export interface Pty {
  readonly path: string;
  /** What the program has sent so far. */
  readonly heard: number[];
  onHeard: (bytes: Uint8Array) => void;
  say(bytes: Uint8Array): Promise<void>;
  /** The far end goes away; idempotent. */
  hangUp(): Promise<void>;
  close(): Promise<void>;
}

/** A pseudo-terminal whose other side is socat; held open, because a meter does not hang up. */
export async function openPty(): Promise<Pty> {
  const folder = await mkdtemp(join(tmpdir(), "leadhand-pty-"));
  const path = join(folder, "meter");
  const socat = spawn("socat", [`PTY,link=${path},raw,echo=0`, "STDIO"]);
  const exited = new Promise((resolve) => socat.once("exit", resolve));
  while (!existsSync(path)) await new Promise((resolve) => setTimeout(resolve, 2));
  const held = await open(path, constants.O_RDWR | constants.O_NOCTTY);
  const pty: Pty = {
    path,
    heard: [],
    onHeard: () => undefined,
    say: (bytes) => new Promise((resolve) => socat.stdin.write(bytes, () => resolve())),
    async hangUp() {
      await held.close();
      socat.kill();
      await exited;
    },
    async close() {
      await pty.hangUp();
      await rm(folder, { recursive: true, force: true });
    },
  };
  socat.stdout.on("data", (bytes: Buffer) => {
    pty.heard.push(...bytes);
    pty.onHeard(bytes);
  });
  return pty;
}

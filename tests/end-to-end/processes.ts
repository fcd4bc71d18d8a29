import { spawn } from "node:child_process";
import type { ChildProcessWithoutNullStreams } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

export const inRepo = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** A child whose standard output is read line by line. */
export class Child {
  readonly process: ChildProcessWithoutNullStreams;
  readonly lines: string[] = [];
  errors = "";
  readonly exited: Promise<number | null>;
  readonly #waiting = new Set<() => void>();
  #over = false;

  constructor(command: string, args: readonly string[], env: Record<string, string> = {}) {
    this.process = spawn(command, [...args], { env: { ...process.env, ...env } });
    createInterface({ input: this.process.stdout }).on("line", (line) => {
      this.lines.push(line);
      for (const wake of this.#waiting) wake();
    });
    this.process.stderr.setEncoding("utf8").on("data", (text: string) => {
      this.errors += text;
      for (const wake of this.#waiting) wake();
    });
    this.exited = new Promise((resolve) =>
      this.process.once("close", (code) => {
        this.#over = true;
        resolve(code);
        for (const wake of this.#waiting) wake();
      }),
    );
  }

  /** Resolves with what `find` gives as soon as it gives something; rejects if the child ends first. */
  until<T>(find: (child: this) => T | null | undefined | false): Promise<T> {
    return new Promise((resolve, reject) => {
      const look = () => {
        const found = find(this);
        if (found !== null && found !== undefined && found !== false) resolve(found);
        else if (this.#over) reject(new Error(`the process ended first: ${this.errors}`));
        else return;
        this.#waiting.delete(look);
      };
      this.#waiting.add(look);
      look();
    });
  }

  tell(message: unknown): void {
    if (this.process.stdin.writable) this.process.stdin.write(`${JSON.stringify(message)}\n`);
  }

  async stop(): Promise<void> {
    this.process.kill();
    await this.exited;
  }
}

/** The built command line. */
export function leadhand(args: readonly string[], env: Record<string, string> = {}): Child {
  return new Child(process.execPath, [inRepo("dist/electron/cli/main.js"), ...args], env);
}

export interface PtyPair {
  /** The meter's end and the program's end. */
  readonly far: string;
  readonly near: string;
  close(): Promise<void>;
}

/** Two pseudo-terminals joined by socat: what is written at one end is read at the other. */
export async function ptyPair(): Promise<PtyPair> {
  const socat = new Child("socat", ["-d", "-d", "pty,raw,echo=0", "pty,raw,echo=0"]);
  const [far, near] = await socat.until(({ errors }) => {
    const names = [...errors.matchAll(/PTY is (\S+)/g)].map((match) => match[1] ?? "");
    return names.length === 2 && errors.includes("starting data transfer loop") ? names : null;
  });
  return { far: far ?? "", near: near ?? "", close: () => socat.stop() };
}

import { open } from "node:fs/promises";
import { badOption } from "./address.js";
import { BaseLink } from "./base-link.js";
import type { Clock } from "./clock.js";
import { deviceNodes } from "./device/node.js";
import type { DeviceNodes } from "./device/node.js";
import { openTrouble, unplugged } from "./device/trouble.js";
import { watchDevice } from "./device/watch.js";
import type { LinkMaker } from "./link-kind.js";

/** The most that one read asks the instrument for. */
const READ_BYTES = 65_536;
const QUESTION = "?".charCodeAt(0);
const NEWLINE = "\n".charCodeAt(0);

/** The bit of a file that an instrument behind the kernel's USBTMC driver needs. */
export interface DeviceFile {
  write(bytes: Uint8Array): Promise<unknown>;
  /** Waits for the instrument; rejects with ETIMEDOUT where it has nothing to say. */
  read(buffer: Uint8Array): Promise<{ bytesRead: number }>;
  close(): Promise<void>;
}

export interface UsbtmcOutside {
  readonly nodes: DeviceNodes;
  open(path: string): Promise<DeviceFile>;
}

export const usbtmcLinks = usbtmcLinksOn({
  nodes: deviceNodes,
  async open(path) {
    const file = await open(path, "r+");
    return {
      write: (bytes) => file.write(bytes),
      read: (buffer) => file.read(buffer, 0, buffer.length, null),
      close: () => file.close(),
    };
  },
});

export function usbtmcLinksOn(outside: UsbtmcOutside): LinkMaker {
  return (address, { clock }) => {
    const path = address.target;
    if (!path.startsWith("/")) {
      throw badOption("usbtmc", path, "Give the device file, such as usbtmc:/dev/usbtmc0.");
    }
    return () => new UsbtmcLink(path, clock, outside);
  };
}

/**
 * A USB test and measurement instrument (USBTMC 1.0, subclass USB488). Every write is one message.
 * The bus has no unasked answers: a read is made after each message that holds a query, and goes
 * on until the response's newline (IEEE 488.2, 8.7), one at a time.
 */
class UsbtmcLink extends BaseLink {
  readonly #path: string;
  readonly #outside: UsbtmcOutside;
  #file: DeviceFile | null = null;
  #answersDue = 0;
  #reading: Promise<void> | null = null;
  #released = false;
  #endWatch: () => void = () => undefined;

  constructor(path: string, clock: Clock, outside: UsbtmcOutside) {
    super(clock);
    this.#path = path;
    this.#outside = outside;
  }

  protected async connect(): Promise<void> {
    const { nodes } = this.#outside;
    const refusal = await nodes.refusal(this.#path);
    if (refusal !== null) throw openTrouble(this.#path, refusal, await nodes.owner(this.#path));
    const identity = await nodes.identity(this.#path);
    try {
      this.#file = await this.#outside.open(this.#path);
    } catch (thrown) {
      const message = thrown instanceof Error ? thrown.message : String(thrown);
      throw openTrouble(this.#path, message, await nodes.owner(this.#path));
    }
    const tools = { clock: this.clock, nodes };
    if (identity === null) return;
    this.#endWatch = watchDevice(tools, this.#path, identity, () => this.#gone());
  }

  protected async send(bytes: Uint8Array): Promise<void> {
    try {
      await this.#file?.write(bytes);
    } catch (cause) {
      this.#gone(cause);
      throw unplugged(this.#path, cause);
    }
    if (!bytes.includes(QUESTION)) return;
    this.#answersDue += 1;
    this.#reading ??= this.#readAnswers();
  }

  protected async release(): Promise<void> {
    this.#released = true;
    this.#endWatch();
    await this.#file?.close();
  }

  async #readAnswers(): Promise<void> {
    const buffer = new Uint8Array(READ_BYTES);
    while (this.#answersDue > 0 && !this.#released) {
      const last = await this.#readPart(buffer);
      if (last === null || last === NEWLINE) this.#answersDue -= 1;
    }
    this.#reading = null;
  }

  /** The last byte read; null where the instrument had no (more) answer. */
  async #readPart(buffer: Uint8Array): Promise<number | null> {
    try {
      const { bytesRead } = (await this.#file?.read(buffer)) ?? { bytesRead: 0 };
      if (bytesRead === 0) return null;
      this.deliver(buffer.slice(0, bytesRead));
      return buffer[bytesRead - 1] ?? null;
    } catch (thrown) {
      if ((thrown as NodeJS.ErrnoException).code !== "ETIMEDOUT") this.#gone(thrown);
      return null;
    }
  }

  #gone(cause?: unknown): void {
    this.ended({ by: "unplugged", error: unplugged(this.#path, cause) });
  }
}

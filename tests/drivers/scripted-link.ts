import type { Clock } from "../../drivers/clock.js";
import type { Closed, Link } from "../../drivers/link.js";
import type { LeadhandError } from "../../protocols/error.js";

/** What the far end of a scripted link does. */
export interface Script {
  /** The error that `open` rejects with; absent: it opens. */
  readonly refuse?: LeadhandError;
  /** `open` never resolves. */
  readonly hang?: boolean;
  /** `close` never resolves, as a driver with a dead handle can do. */
  readonly closeHangs?: boolean;
  /** Called with what the program writes. */
  readonly onWrite?: (text: string, link: ScriptedLink) => void;
}

/** A link whose far end is a test. */
export class ScriptedLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;
  readonly written: string[] = [];
  state: "new" | "open" | "closed" = "new";
  readonly #clock: Clock;
  readonly #script: Script;

  constructor(clock: Clock, script: Script = {}) {
    this.#clock = clock;
    this.#script = script;
  }

  open(): Promise<void> {
    if (this.#script.hang === true) return new Promise(() => undefined);
    if (this.#script.refuse !== undefined) return Promise.reject(this.#script.refuse);
    this.state = "open";
    return Promise.resolve();
  }

  write(bytes: Uint8Array): Promise<void> {
    const text = new TextDecoder().decode(bytes);
    this.written.push(text);
    this.#script.onWrite?.(text, this);
    return Promise.resolve();
  }

  close(): Promise<void> {
    this.end({ by: "us" });
    return this.#script.closeHangs === true ? new Promise(() => undefined) : Promise.resolve();
  }

  /** The meter sends. */
  say(bytes: string | Uint8Array): void {
    const data = typeof bytes === "string" ? new TextEncoder().encode(bytes) : bytes;
    if (this.state === "open") this.onChunk({ bytes: data, arrival_ns: this.#clock.now_ns() });
  }

  /** The connection ends. */
  end(closed: Closed): void {
    const wasOpen = this.state === "open";
    this.state = "closed";
    if (wasOpen) this.onClosed(closed);
  }
}

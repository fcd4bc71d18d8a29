import { BaseLink } from "../../drivers/base-link.js";
import type { Clock } from "../../drivers/clock.js";
import type { Closed } from "../../drivers/link.js";
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

const never = new Promise<never>(() => undefined);

/** A link whose far end is a test. */
export class ScriptedLink extends BaseLink {
  readonly written: string[] = [];
  released = false;
  readonly #script: Script;

  constructor(clock: Clock, script: Script = {}) {
    super(clock);
    this.#script = script;
  }

  protected connect(): Promise<void> {
    if (this.#script.hang === true) return never;
    return this.#script.refuse === undefined
      ? Promise.resolve()
      : Promise.reject(this.#script.refuse);
  }

  protected send(bytes: Uint8Array): Promise<void> {
    const text = Buffer.from(bytes).toString("latin1");
    this.written.push(text);
    this.#script.onWrite?.(text, this);
    return Promise.resolve();
  }

  protected release(): Promise<void> {
    this.released = true;
    return this.#script.closeHangs === true ? never : Promise.resolve();
  }

  /** The meter sends. */
  say(bytes: string | Uint8Array): void {
    this.deliver(typeof bytes === "string" ? new TextEncoder().encode(bytes) : bytes);
  }

  /** The connection ends. */
  end(closed: Closed): void {
    this.ended(closed);
  }
}

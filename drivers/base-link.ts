import { LeadhandError } from "../protocols/error.js";
import type { Clock } from "./clock.js";
import type { Closed, Link } from "./link.js";

/**
 * What all links have in common: the order of their life. A link of its own says how to connect,
 * send and let go; it calls `deliver` and `ended` when it likes, and what comes at the wrong time
 * goes no further.
 */
export abstract class BaseLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;
  protected readonly clock: Clock;
  #state: "new" | "opening" | "open" | "closed" = "new";
  #endedEarly: Closed | null = null;
  #released: Promise<void> | null = null;

  protected constructor(clock: Clock) {
    this.clock = clock;
  }

  /** Rejects with a `LeadhandError`; what it had got hold of by then is let go by `release`. */
  protected abstract connect(): Promise<void>;
  protected abstract send(bytes: Uint8Array): Promise<void>;
  /** Lets go of everything, also after half a `connect`. Called once. */
  protected abstract release(): Promise<void>;

  async open(): Promise<void> {
    if (this.#state !== "new") throw used();
    this.#state = "opening";
    try {
      await this.connect();
      if (this.#endedEarly !== null) throw this.#endedEarly.error ?? gone();
      if (this.#isClosed()) throw gone();
      this.#state = "open";
    } catch (thrown) {
      this.#state = "closed";
      await this.#release().catch(() => undefined);
      throw thrown;
    }
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (this.#state !== "open") throw gone();
    await this.send(bytes);
  }

  async close(): Promise<void> {
    const wasOpening = this.#state === "opening";
    this.ended({ by: "us" });
    this.#state = "closed";
    // Half a connection is let go by `open` itself, once `connect` has come back.
    if (!wasOpening) await this.#release();
  }

  /** Bytes came in. Call it first thing: the time of arrival is taken here, unless it is known. */
  protected deliver(bytes: Uint8Array, arrival_ns: bigint = this.clock.now_ns()): void {
    if (this.#state === "opening" || this.#state === "open") this.onChunk({ bytes, arrival_ns });
  }

  /** The connection is over; only the first reason counts. */
  protected ended(closed: Closed): void {
    if (this.#state === "opening") this.#endedEarly ??= closed;
    if (this.#state !== "open") return;
    this.#state = "closed";
    this.onClosed(closed);
  }

  /** Asked anew after an await, where the compiler would trust what it saw before it. */
  #isClosed(): boolean {
    return this.#state === "closed";
  }

  #release(): Promise<void> {
    this.#released ??= this.#state === "new" ? Promise.resolve() : this.release();
    return this.#released;
  }
}

function used(): LeadhandError {
  return new LeadhandError("meter/link-used", {
    what: "A connection to a meter was to be opened a second time.",
    action: "Make a new one; this is a defect of the program, please report it.",
  });
}

function gone(): LeadhandError {
  return new LeadhandError("meter/link-closed", {
    what: "The connection to the meter was closed.",
    action: "Wait until the meter is connected anew.",
  });
}

/** The promise, or `late()` where it takes longer than `limit_ms`. */
export async function within<T>(
  clock: Clock,
  limit_ms: number,
  work: Promise<T>,
  late: () => Error,
): Promise<T> {
  let cancel = (): void => undefined;
  const limit = new Promise<never>((_, reject) => {
    cancel = clock.after(limit_ms, () => reject(late()));
  });
  try {
    return await Promise.race([work, limit]);
  } finally {
    cancel();
  }
}

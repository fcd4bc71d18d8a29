import { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";
import type { Closed, Link } from "../link.js";

/** What a link needs of the bench: to be told that somebody listens, or no longer does. */
export interface Listening {
  begin(link: PracticeLink): void;
  end(link: PracticeLink): void;
}

/** The cable from a simulated meter to the program. */
export class PracticeLink implements Link {
  onChunk: (chunk: Chunk) => void = () => undefined;
  onClosed: (closed: Closed) => void = () => undefined;
  #state: "new" | "open" | "closed" = "new";

  constructor(
    readonly channel: "a" | "b",
    private readonly bench: Listening,
  ) {}

  open(): Promise<void> {
    if (this.#state !== "new") {
      return Promise.reject(
        new LeadhandError("meter/link-used", {
          what: "This connection to the practice meter was used before.",
          action: "Make a new one.",
        }),
      );
    }
    this.#state = "open";
    this.bench.begin(this);
    return Promise.resolve();
  }

  /** The practice meter only sends; what it is told goes nowhere, as with the real ones. */
  write(): Promise<void> {
    return Promise.resolve();
  }

  close(): Promise<void> {
    if (this.#state === "open") {
      this.bench.end(this);
      this.#state = "closed";
      this.onClosed({ by: "us" });
    }
    this.#state = "closed";
    return Promise.resolve();
  }
}

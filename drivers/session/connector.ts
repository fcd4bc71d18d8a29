import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";
import type { Clock } from "../clock.js";
import type { Closed, Link } from "../link.js";
import type { LinkSource } from "../link-kind.js";
import { isFinal } from "./advice.js";

/** Short, because nobody tells when a cable is plugged in; an attempt at an absent port costs little. */
const FIRST_RETRY_MS = 100;
const LONGEST_RETRY_MS = 250;
/** A driver that does not finish closing is left behind after this. */
const CLOSE_MS = 2_000;

export interface ConnectorEvents {
  /** Called before the first chunk of a connection. */
  opened(at_ns: bigint): void;
  chunk(chunk: Chunk): void;
  /** Was open and is not any more; it is tried again. */
  lost(closed: Closed): void;
  /** Could not be opened; it is tried again unless the error is final. */
  failed(error: LeadhandError): void;
}

/** Keeps one link open: a fresh one for every attempt, with growing pauses between attempts. */
export class Connector {
  readonly #makeSource: () => Promise<LinkSource>;
  readonly #clock: Clock;
  readonly #events: ConnectorEvents;
  #source: LinkSource | null = null;
  #link: Link | null = null;
  #isOpen = false;
  #pause_ms = FIRST_RETRY_MS;
  #cancelRetry: () => void = () => undefined;
  #stopped = false;

  constructor(makeSource: () => Promise<LinkSource>, clock: Clock, events: ConnectorEvents) {
    this.#makeSource = makeSource;
    this.#clock = clock;
    this.#events = events;
  }

  /** Connects after `delay_ms`, and from then on by itself. */
  start(delay_ms = 0): void {
    this.#cancelRetry();
    this.#cancelRetry = this.#clock.after(delay_ms, () => void this.#attempt());
  }

  /** The connection proved itself: the next loss is answered quickly again. */
  healthy(): void {
    this.#pause_ms = FIRST_RETRY_MS;
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (this.#isOpen) await this.#link?.write(bytes);
  }

  /** Drops the connection and makes a new one. */
  async renew(): Promise<void> {
    this.#cancelRetry();
    this.#pause_ms = FIRST_RETRY_MS;
    await this.#release();
    if (!this.#stopped) this.start();
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    this.#cancelRetry();
    await this.#release();
  }

  async #attempt(): Promise<void> {
    let link: Link | null = null;
    try {
      this.#source ??= await this.#makeSource();
      if (this.#stopped) return;
      link = this.#adopt(this.#source());
      await link.open();
      if (this.#link === link) this.#announce(link, this.#clock.now_ns());
    } catch (thrown) {
      if (!this.#stopped && this.#link === link) await this.#failed(toLeadhandError(thrown));
    }
  }

  #adopt(link: Link): Link {
    this.#link = link;
    this.#isOpen = false;
    // A link may deliver before `open` has resolved; one that was replaced is not heard any more.
    link.onChunk = (chunk) => {
      this.#announce(link, chunk.arrival_ns);
      if (this.#link === link) this.#events.chunk(chunk);
    };
    link.onClosed = (closed) => {
      if (this.#link === link) void this.#lost(closed);
    };
    return link;
  }

  #announce(link: Link, at_ns: bigint): void {
    if (this.#isOpen || this.#link !== link) return;
    this.#isOpen = true;
    this.#events.opened(at_ns);
  }

  async #failed(error: LeadhandError): Promise<void> {
    this.#events.failed(error);
    await this.#release();
    if (!isFinal(error)) this.#retry();
  }

  async #lost(closed: Closed): Promise<void> {
    this.#events.lost(closed);
    await this.#release();
    this.#retry();
  }

  #retry(): void {
    if (this.#stopped) return;
    this.start(this.#pause_ms);
    this.#pause_ms = Math.min(2 * this.#pause_ms, LONGEST_RETRY_MS);
  }

  /** The old link is closed before a new one is made: ports are locked while open. */
  async #release(): Promise<void> {
    const link = this.#link;
    this.#link = null;
    this.#isOpen = false;
    if (link === null) return;
    await new Promise<void>((resolve) => {
      const cancel = this.#clock.after(CLOSE_MS, resolve);
      void link
        .close()
        .catch(() => undefined)
        .then(() => {
          cancel();
          resolve();
        });
    });
  }
}

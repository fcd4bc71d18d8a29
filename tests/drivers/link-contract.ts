import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Clock } from "../../drivers/clock.js";
import type { Closed, Link } from "../../drivers/link.js";
import { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";

/** The meter's end of a link, for the contract. */
export interface FarEnd {
  /** A fresh link to this far end. */
  make(): Link;
  /** The clock that the links stamp with. */
  readonly clock: Clock;
  /** The meter sends; resolves when it is on its way. Called after a link was opened. */
  say(bytes: Uint8Array): Promise<void>;
  /** All that the far end has been sent so far; absent where a link only listens. */
  heard?(): Uint8Array;
  /** The connection ends from the far end; absent where that cannot be done to it (a real port). */
  hangUp?(): Promise<void>;
  /** How a link tells that end. */
  readonly hangsUpBy?: Closed["by"];
  /** Lets time pass until `done`; real time by default. */
  until?(done: () => boolean): Promise<void>;
  stop(): Promise<void>;
}

export interface Contracted {
  readonly name: string;
  start(): Promise<FarEnd>;
  /** A link whose far end is not there; absent where there always is one. */
  makeAbsent?(): Link;
}

const PATIENCE_MS = 10_000;

async function realUntil(done: () => boolean): Promise<void> {
  const limit = Date.now() + PATIENCE_MS;
  while (!done()) {
    if (Date.now() > limit) throw new Error(`nothing came in ${PATIENCE_MS} ms`);
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}

/** What came out of one link. */
class Listener {
  readonly link: Link;
  readonly chunks: Chunk[] = [];
  readonly closings: Closed[] = [];
  afterClosing = 0;

  constructor(link: Link) {
    this.link = link;
    link.onChunk = (chunk) => {
      // A link may use its buffer again; the contract does not promise otherwise.
      this.chunks.push({ ...chunk, bytes: chunk.bytes.slice() });
      if (this.closings.length > 0) this.afterClosing += 1;
    };
    link.onClosed = (closed) => void this.closings.push(closed);
  }

  get bytes(): Uint8Array {
    return Uint8Array.from(this.chunks.flatMap((chunk) => [...chunk.bytes]));
  }
}

const everyValue = Uint8Array.from({ length: 256 }, (_, value) => value);

/** The promises of `Link`, kept by every kind of link. */
export function linkContract(contracted: Contracted): void {
  describe(`link contract: ${contracted.name}`, () => {
    let far: FarEnd;
    const made: Link[] = [];
    const listen = (): Listener => {
      const listener = new Listener(far.make());
      made.push(listener.link);
      return listener;
    };
    const until = (done: () => boolean): Promise<void> => (far.until ?? realUntil)(done);

    beforeEach(async () => {
      far = await contracted.start();
    });
    afterEach(async () => {
      await Promise.all(made.splice(0).map((link) => link.close()));
      await far.stop();
    });

    test("every byte value arrives, in order, stamped with a time that never runs back", async () => {
      const heard = listen();
      await heard.link.open();
      const before_ns = far.clock.now_ns();
      await far.say(everyValue);
      await until(() => heard.bytes.length >= 256);
      expect(heard.bytes).toEqual(everyValue);
      let last_ns = before_ns;
      for (const chunk of heard.chunks) {
        expect(chunk.arrival_ns).toBeGreaterThanOrEqual(last_ns);
        last_ns = chunk.arrival_ns;
      }
    });

    test("what is written reaches the far end", async ({ skip }) => {
      if (far.heard === undefined) return skip("this link only listens");
      const { link } = listen();
      await link.open();
      await link.write(everyValue);
      await until(() => far.heard!().length >= 256);
      expect(far.heard()).toEqual(everyValue);
    });

    test("closing is told once, can be repeated, and nothing comes after it", async () => {
      const heard = listen();
      await heard.link.open();
      await far.say(everyValue);
      await heard.link.close();
      await heard.link.close();
      expect(heard.closings).toEqual([{ by: "us" }]);
      await far.say(everyValue).catch(() => undefined);
      expect(heard.afterClosing).toBe(0);
      await expect(heard.link.write(everyValue)).rejects.toThrow(LeadhandError);
    });

    test("the far end's going is told once, with what happened and what to do", async ({
      skip,
    }) => {
      if (far.hangUp === undefined) return skip("this far end cannot be taken away by a test");
      const heard = listen();
      await heard.link.open();
      await far.hangUp();
      await until(() => heard.closings.length > 0);
      await heard.link.close();
      expect(heard.closings).toHaveLength(1);
      expect(heard.closings[0]?.by).toBe(far.hangsUpBy ?? "unplugged");
      if (far.hangsUpBy !== "end-of-recording") {
        expect(heard.closings[0]?.error?.area).toBe("meter");
      }
    });

    test("a link is used once; a fresh one works after it", async () => {
      const first = listen();
      await first.link.open();
      await expect(first.link.open()).rejects.toThrow(LeadhandError);
      await first.link.close();
      await expect(first.link.open()).rejects.toThrow(LeadhandError);
      const second = listen();
      await second.link.open();
      await far.say(everyValue);
      await until(() => second.bytes.length >= 256);
      expect(second.bytes).toEqual(everyValue);
    });

    test("closed while it opens, it lets go and a fresh one opens", async () => {
      const heard = listen();
      const opening = heard.link.open().catch((thrown: unknown) => thrown);
      await heard.link.close();
      expect(await opening).toBeInstanceOf(LeadhandError);
      expect(heard.closings).toEqual([]);
      await listen().link.open();
    });

    test("closing one that was never opened is no harm", async () => {
      const heard = listen();
      await heard.link.close();
      expect(heard.closings).toEqual([]);
    });

    test("one that is not there says so", async ({ skip }) => {
      const absent = contracted.makeAbsent?.();
      if (absent === undefined) return skip("the far end of this link is always there");
      const heard = new Listener(absent);
      const thrown: unknown = await absent.open().catch((error: unknown) => error);
      expect(thrown).toBeInstanceOf(LeadhandError);
      expect(["meter", "input"]).toContain((thrown as LeadhandError).area);
      expect(heard.closings).toEqual([]);
    });
  });
}

import { mkdtempSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { parseAddress } from "../../drivers/address.js";
import { chooseMeter } from "../../drivers/links.js";
import type { Link } from "../../drivers/link.js";
import type { Closed } from "../../drivers/link.js";
import { openPlayback } from "../../drivers/recorded/playback.js";
import type { Playback } from "../../drivers/recorded/playback.js";
import { encodeBlock } from "../../protocols/raw-log/encode-block.js";
import { findProtocol } from "../../protocols/registry.js";
import { ManualClock } from "./manual-clock.js";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "leadhand-recorded-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Writes one letter at each of these milliseconds; returns the address of it. */
function tape(name: string, letters: readonly (readonly [at_ms: number, text: string])[]): string {
  const path = join(folder, name);
  const chunks = letters.map(([at_ms, text]) => ({
    bytes: new TextEncoder().encode(text),
    arrival_ns: BigInt(at_ms) * 1_000_000n,
  }));
  writeFileSync(path, encodeBlock({ channel: "a", sequence: 0, chunks }));
  return `recorded:${path}?protocol=ascii-line`;
}

class Room {
  readonly heard: string[] = [];
  readonly closed: (Closed | null)[] = [];
  readonly links: Link[] = [];

  private constructor(readonly playback: Playback) {}

  static async open(real: ManualClock, ...addresses: readonly string[]): Promise<Room> {
    const playback = await openPlayback(addresses, real);
    if (playback === null) throw new Error("not all of them are recordings");
    const room = new Room(playback);
    for (const [n, text] of addresses.entries()) await room.#join(n, text);
    return room;
  }

  get now_ms(): number {
    return Number(this.playback.clock.now_ns()) / 1e6;
  }

  async opened(): Promise<void> {
    await Promise.all(this.links.map((link) => link.open()));
  }

  ended(): Promise<void> {
    return until(() => this.closed.every((closed) => closed !== null));
  }

  async #join(n: number, text: string): Promise<void> {
    const meter = chooseMeter(text, { protocol: findProtocol, links: [this.playback.link] });
    const link = (await meter.source(this.playback.clock))();
    this.closed.push(null);
    link.onChunk = ({ bytes, arrival_ns }) => {
      const said = new TextDecoder().decode(bytes);
      this.heard.push(`${n}:${said}@${Number(arrival_ns) / 1e6}/${this.now_ms}`);
    };
    link.onClosed = (closed) => void (this.closed[n] = closed);
    this.links.push(link);
  }
}

async function until(done: () => boolean): Promise<void> {
  while (!done()) await new Promise((resolve) => setImmediate(resolve));
}

describe("recordings that are played together", () => {
  test("come in order of arrival, each at its time, pieces of one time as one", async () => {
    const one = tape("one", [[500, "a"], [700, "b"], [700, "c"], [900, "d"]]); // prettier-ignore
    const two = tape("two", [
      [600, "x"],
      [900, "y"],
    ]);
    const once = await Room.open(new ManualClock(), `${one}&pace=at-once`, `${two}&pace=at-once`);
    expect(once.now_ms).toBe(500);
    await once.opened();
    await once.ended();
    const heard = ["0:a@500/500", "1:x@600/600", "0:bc@700/700", "0:d@900/900", "1:y@900/900"];
    expect(once.heard).toEqual(heard);

    const real = new ManualClock();
    const paced = await Room.open(real, `${one}&pace=10`, two.replace("?", "?pace=20&"));
    await paced.opened();
    await until(() => paced.heard.length === 1);
    await real.advance(9);
    expect(paced.heard).toEqual(heard.slice(0, 1));
    for (let n = 0; n < 31; n++) {
      await real.advance(1);
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    await paced.ended();
    expect(paced.heard).toEqual(heard);
  });

  test("end together: who has no more is silent, not pulled out", async () => {
    const long = tape("long", [[0, "a"], [900, "b"]]); // prettier-ignore
    const room = await Room.open(
      new ManualClock(),
      `${long}&pace=at-once`,
      `${tape("short", [[10, "x"]])}&pace=at-once`,
    );
    const states: unknown[] = [];
    room.playback.clock.after(500, () => states.push(room.closed[1]));
    await room.opened();
    await room.ended();
    expect(states).toEqual([null]);
    expect(room.closed).toEqual([{ by: "end-of-recording" }, { by: "end-of-recording" }]);
  });

  test("go on for one when the other is not listened to any more, and stop with the last", async () => {
    const one = tape("one", [[0, "a"], [10, "b"], [20, "c"]]); // prettier-ignore
    const two = tape("two", [[5, "x"], [15, "y"]]); // prettier-ignore
    const room = await Room.open(new ManualClock(), `${one}&pace=at-once`, `${two}&pace=at-once`);
    room.playback.clock.after(7, () => void room.links[1]!.close());
    room.playback.clock.after(17, () => void room.links[0]!.close());
    await room.opened();
    await room.ended();
    expect(room.heard).toEqual(["0:a@0/0", "1:x@5/5", "0:b@10/10"]);
  });

  test("are looked at before the run begins", async () => {
    const real = new ManualClock();
    const empty = tape("empty", [[0, "a"]]);
    truncateSync(parseAddress(empty).target, 5);
    await expect(openPlayback([empty], real)).rejects.toThrow("[input/recording-empty]");
    await expect(openPlayback(["recorded:/nowhere"], real)).rejects.toThrow("[input/recording]");
    await expect(openPlayback([`${empty}&pace=0`], real)).rejects.toThrow("[usage/meter-option]");
    expect(await openPlayback([empty, "serial:/dev/ttyUSB0"], real)).toBeNull();
  });
});

import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { openSession } from "../../drivers/session.js";
import type { MeterSession } from "../../drivers/session.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import { LeadhandError } from "../../protocols/error.js";
import type { Protocol } from "../../protocols/protocol.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { ChannelReader } from "../../protocols/timing/channel-reader.js";
import { askedProtocol, lineProtocol } from "./line-protocol.js";
import { ManualClock } from "./manual-clock.js";
import { ScriptedLink } from "./scripted-link.js";
import type { Script } from "./scripted-link.js";

const failure = (code: "meter/absent" | "meter/denied" | "meter/busy" | "meter/no-serial") =>
  new LeadhandError(code, { what: `It is ${code}.`, action: "Do something." });
const unplugged = new LeadhandError("meter/unplugged", { what: "Gone.", action: "Plug it in." });

class Bench {
  readonly clock = new ManualClock();
  readonly events: SessionEvent[] = [];
  readonly log: Chunk[] = [];
  readonly links: ScriptedLink[] = [];
  script: Script = {};
  suggest: (bytes: Uint8Array) => string | null = () => null;
  sink: (chunk: Chunk) => void = (chunk) => void this.log.push(chunk);
  session!: MeterSession;

  open(protocol: Protocol = lineProtocol, vanishes = false): void {
    const source = () => {
      const link = new ScriptedLink(this.clock, this.script);
      this.links.push(link);
      return link;
    };
    this.session = openSession({
      channel: "a",
      meter: {
        title: "test:meter",
        protocol,
        protocolOptions: {},
        vanishes,
        suggest: (bytes) => this.suggest(bytes),
        source: () => Promise.resolve(source),
      },
      clock: this.clock,
      rawSink: { append: (_, chunk) => this.sink(chunk) },
      origin_ns: 0n,
      onEvent: (event) => void this.events.push(event),
    });
  }

  get link(): ScriptedLink {
    const last = this.links.at(-1);
    if (last === undefined) throw new Error("no link yet");
    return last;
  }

  /** One reading every `gap_ms`. */
  async say(count: number, gap_ms = 300): Promise<void> {
    for (let n = 0; n < count; n += 1) {
      this.link.say(`V${n}\n`);
      await this.clock.advance(gap_ms);
    }
  }

  get states(): string[] {
    return this.events.flatMap((event) =>
      event.kind === "state"
        ? [`${event.state}${event.advice ? ` ${event.advice.code}` : ""}`]
        : [],
    );
  }

  get values(): (number | null)[] {
    return this.events.flatMap((event) => (event.kind === "reading" ? [event.reading.value] : []));
  }
}

let bench: Bench;
beforeEach(() => {
  bench = new Bench();
});
afterEach(async () => {
  const closing = bench.session.close();
  await bench.clock.advance(5_000);
  await closing;
});

describe("connecting", () => {
  test("is live only when a valid frame was decoded", async () => {
    bench.open();
    await bench.clock.advance(100);
    expect(bench.session.state).toBe("silent");
    bench.link.say("V1");
    expect(bench.session.state).toBe("silent");
    bench.link.say("2.5\n");
    expect(bench.session.state).toBe("live");
    expect(bench.states).toEqual(["opening", "silent", "live"]);
    expect(bench.values).toEqual([12.5]);
  });

  test("tells nobody before the caller holds the session", async () => {
    bench.open();
    expect(bench.events).toEqual([]);
    await bench.clock.advance(0);
    expect(bench.states).toEqual(["opening", "silent"]);
  });

  test.each([
    ["meter/absent", "absent"],
    ["meter/denied", "denied"],
    ["meter/busy", "busy"],
  ] as const)("%s is said once and tried again until it opens", async (code, state) => {
    bench.script = { refuse: failure(code) };
    bench.open();
    await bench.clock.advance(10_000);
    expect(bench.states).toEqual(["opening", `${state} ${code}`]);
    expect(bench.links.length).toBeGreaterThan(8);
    bench.script = {};
    await bench.clock.advance(1_000);
    expect(bench.session.state).toBe("silent");
  });

  test("a missing package is said and not tried again", async () => {
    bench.script = { refuse: failure("meter/no-serial") };
    bench.open();
    await bench.clock.advance(60_000);
    expect(bench.states).toEqual(["opening", "absent meter/no-serial"]);
    expect(bench.links).toHaveLength(1);
  });
});

describe("silence and nonsense", () => {
  test("an open meter that says nothing gets advice after three seconds", async () => {
    bench.open();
    await bench.clock.advance(2_900);
    expect(bench.states).toEqual(["opening", "silent"]);
    await bench.clock.advance(300);
    expect(bench.states.at(-1)).toBe("silent meter/silent");
  });

  test("bytes that are no frame are called unreadable", async () => {
    bench.open();
    await bench.clock.advance(10);
    for (let n = 0; n < 30; n += 1) {
      bench.link.say("#garbage#");
      await bench.clock.advance(100);
    }
    expect(bench.states.at(-1)).toBe("unreadable meter/unreadable");
    bench.link.say("\nV3\n");
    expect(bench.session.state).toBe("live");
    expect(bench.session.stats.skippedBytes).toBeGreaterThan(200);
  });

  test("unreadable bytes that fit another protocol are named, as soon as there are enough", async () => {
    bench.suggest = (bytes) => (bytes.length >= 200 ? "They are other frames." : null);
    bench.open();
    await bench.clock.advance(10);
    for (let n = 0; n < 60; n += 1) {
      bench.link.say("#garbage#");
      await bench.clock.advance(100);
    }
    const advice = bench.events.flatMap((event) =>
      event.kind === "state" && event.state === "unreadable" ? [event.advice?.action] : [],
    );
    expect(advice).toHaveLength(2);
    expect(advice[0]).toContain("meters --identify");
    expect(advice[1]).toBe("They are other frames.");
  });

  test("a reading that is overdue by one interval makes it stale, the next live", async () => {
    bench.open();
    await bench.clock.advance(10);
    await bench.say(12, 1_000);
    expect(bench.session.state).toBe("live");
    await bench.clock.advance(900);
    expect(bench.session.state).toBe("live");
    await bench.clock.advance(250);
    expect(bench.session.state).toBe("stale");
    bench.link.say("V9\n");
    expect(bench.session.state).toBe("live");
  });

  test("a link that can vanish without a sign is connected anew", async () => {
    bench.open(lineProtocol, true);
    await bench.clock.advance(10);
    await bench.say(3);
    await bench.clock.advance(6_000);
    expect(bench.states.slice(2)).toEqual([
      "live",
      "stale meter/stale",
      "lost meter/quiet",
      "silent",
    ]);
    expect(bench.links).toHaveLength(2);
    expect(bench.links[0]?.released).toBe(true);
  });
});

describe("loss and return", () => {
  test("unplugged is lost at once; a fresh link brings it back live", async () => {
    bench.open();
    await bench.clock.advance(10);
    await bench.say(3);
    bench.link.end({ by: "unplugged", error: unplugged });
    expect(bench.states.at(-1)).toBe("lost meter/unplugged");
    bench.script = { refuse: failure("meter/absent") };
    await bench.clock.advance(5_000);
    expect(bench.states.at(-1)).toBe("lost meter/unplugged");
    bench.script = {};
    await bench.clock.advance(1_000);
    bench.link.say("V7\n");
    expect(bench.states.slice(-3)).toEqual(["lost meter/unplugged", "silent", "live"]);
    expect(bench.values.at(-1)).toBe(7);
  });

  test("half a frame before the loss is not joined to what comes after it", async () => {
    bench.open();
    await bench.clock.advance(10);
    bench.link.say("V1\nV1");
    bench.link.end({ by: "unplugged", error: unplugged });
    await bench.clock.advance(1_000);
    bench.link.say("9\nV2\n");
    expect(bench.values).toEqual([1, 2]);
  });

  test("a driver that never finishes closing does not stop the return", async () => {
    bench.script = { closeHangs: true };
    bench.open();
    await bench.clock.advance(10);
    bench.link.end({ by: "unplugged", error: unplugged });
    await bench.clock.advance(3_000);
    bench.link.say("V1\n");
    expect(bench.session.state).toBe("live");
  });

  test("what an abandoned link still says is not heard", async () => {
    bench.open();
    await bench.clock.advance(10);
    const first = bench.link;
    first.end({ by: "unplugged", error: unplugged });
    await bench.clock.advance(1_000);
    first.say("V5\n");
    first.end({ by: "unplugged", error: unplugged });
    expect(bench.values).toEqual([]);
    expect(bench.session.state).toBe("silent");
  });

  test("sleep marks the gap and the meter is verified anew", async () => {
    bench.open();
    await bench.clock.advance(10);
    await bench.say(2);
    bench.session.interrupted();
    expect(bench.states.at(-1)).toBe("stale meter/interrupted");
    bench.link.say("V5\n");
    expect(bench.session.state).toBe("stale");
    bench.session.resumed();
    await bench.clock.advance(100);
    bench.link.say("V6\n");
    expect(bench.states.slice(-3)).toEqual(["lost meter/interrupted", "silent", "live"]);
    expect(bench.links).toHaveLength(2);
  });
});

describe("the raw log", () => {
  test("has every byte before it is decoded, and the start of every connection", async () => {
    const seen: number[] = [];
    bench.sink = (chunk) => {
      bench.log.push(chunk);
      seen.push(bench.values.length);
    };
    bench.open();
    await bench.clock.advance(10);
    bench.link.say("V1\n");
    bench.link.say("V2\n");
    bench.link.end({ by: "unplugged", error: unplugged });
    await bench.clock.advance(1_000);
    bench.link.say("V3\n");
    expect(bench.log.map((chunk) => new TextDecoder().decode(chunk.bytes))).toEqual([
      "",
      "V1\n",
      "V2\n",
      "",
      "V3\n",
    ]);
    expect(seen).toEqual([0, 0, 1, 2, 2]);
  });

  test.each([lineProtocol, askedProtocol])(
    "gives the same readings at the same times when it is read again ($id)",
    async (protocol) => {
      bench.open(protocol);
      await bench.clock.advance(10);
      for (let n = 0; n < 60; n += 1) {
        bench.link.say(n % 9 === 0 ? `V${n}\nV` : `${n}\n`);
        await bench.clock.advance(n % 20 === 19 ? 3_000 : 290 + ((n * 7) % 20));
        if (n === 31) bench.link.end({ by: "unplugged", error: unplugged });
        if (n === 31) await bench.clock.advance(1_500);
      }
      const reader = new ChannelReader({ channel: "a", protocol, origin_ns: 0n });
      const again = bench.log.flatMap((chunk) => [...reader.push(chunk).readings]);
      const live = bench.events.flatMap((event) =>
        event.kind === "reading" ? [event.reading] : [],
      );
      expect(live.length).toBeGreaterThan(10);
      expect(again).toEqual(live);
      expect(reader.timing).toEqual(bench.session.timing);
    },
  );

  test("a sink that cannot keep a chunk ends the session with its own error", async () => {
    bench.open();
    await bench.clock.advance(10);
    bench.sink = () => {
      throw new LeadhandError("job/disk-full", { what: "Full.", action: "Make room." });
    };
    bench.link.say("V1\n");
    await bench.clock.advance(5_000);
    expect(bench.states.at(-1)).toBe("closed job/disk-full");
    expect(bench.values).toEqual([]);
    expect(bench.links).toHaveLength(1);
    expect(bench.link.released).toBe(true);
  });
});

describe("a meter that must be asked", () => {
  test("is asked at the start, and again when the answer does not come", async () => {
    bench.open(askedProtocol);
    await bench.clock.advance(10);
    expect(bench.link.written).toEqual(["?"]);
    await bench.clock.advance(1_000);
    expect(bench.link.written).toEqual(["?", "?"]);
    bench.link.say("V4\n");
    expect(bench.values).toEqual([4]);
    expect(bench.events.some((event) => event.kind === "note")).toBe(true);
  });
});

test("a recording that runs out closes the session for good", async () => {
  bench.open();
  await bench.clock.advance(10);
  bench.link.end({ by: "end-of-recording" });
  await bench.clock.advance(10_000);
  expect(bench.states.at(-1)).toBe("closed");
  expect(bench.links).toHaveLength(1);
});

import { describe, expect, test } from "vitest";
import { BaseLink } from "../../drivers/base-link.js";
import type { Clock } from "../../drivers/clock.js";
import { fitsOf } from "../../drivers/identify/fit.js";
import { identify } from "../../drivers/identify/identify.js";
import type { Found } from "../../drivers/identify/identify.js";
import { addressFor } from "../../drivers/identify/identify-place.js";
import { suggestion } from "../../drivers/identify/suggest.js";
import type { LineSettings } from "../../protocols/protocol.js";
import { protocols } from "../../protocols/registry.js";
import { encodeSegment14 } from "../../protocols/segment-14/encode.js";
import { lineProtocol } from "./line-protocol.js";
import { ManualClock } from "./manual-clock.js";

const segments = Buffer.concat(
  [1794, 1795, 1794, 1793, 1794, 1795, 1796, 1794].map((counts) =>
    encodeSegment14({
      quantity: "voltage",
      coupling: "dc",
      prefix: "",
      counts,
      decimals: 2,
      flags: ["auto"],
    }),
  ),
);
const text = Buffer.from(
  "+1.234E+00 VDC\r\n+1.235E+00 VDC\r\n+1.236E+00 VDC\r\n+1.237E+00 VDC\r\n",
);

/** What a wrong speed makes of bytes: not random, and no frame. */
function garbled(bytes: Uint8Array): Uint8Array {
  return bytes.map((byte, n) => (byte * 37 + n * 11) & 0xff).filter((_, n) => n % 4 === 0);
}

interface FakeMeter {
  readonly line: Partial<LineSettings>;
  readonly sends: Uint8Array | null;
  readonly answers?: string;
}

/** A port with a meter that is understood at its own settings alone. */
class FakePort extends BaseLink {
  constructor(
    private readonly meter: FakeMeter,
    private readonly line: LineSettings,
    clock: Clock,
  ) {
    super(clock);
  }

  protected connect(): Promise<void> {
    const { sends, line } = this.meter;
    const powered = (line.dtr ?? this.line.dtr) === this.line.dtr;
    if (sends !== null && powered) {
      this.clock.after(10, () => this.deliver(this.#right() ? sends : garbled(sends)));
    }
    return Promise.resolve();
  }

  protected send(bytes: Uint8Array): Promise<void> {
    const asked = new TextDecoder().decode(bytes);
    const { answers } = this.meter;
    if (asked === "*IDN?\n" && answers !== undefined && this.#right()) {
      this.clock.after(20, () => this.deliver(Buffer.from(answers)));
    }
    return Promise.resolve();
  }

  protected release(): Promise<void> {
    return Promise.resolve();
  }

  #right(): boolean {
    const { baud, frame } = this.meter.line;
    return baud === this.line.baud && (frame ?? this.line.frame) === this.line.frame;
  }
}

async function found(meter: FakeMeter, known = protocols.values()): Promise<Found> {
  const clock = new ManualClock();
  const results: Found[] = [];
  const running = identify({
    make: (line) => new FakePort(meter, line, clock),
    protocols: known,
    clock,
    hasLine: true,
  }).then((each) => {
    results.push(each);
    return each;
  });
  for (let n = 0; n < 2_000 && results.length === 0; n += 1) await clock.advance(100);
  return running;
}

describe("which meter is this", () => {
  test("a frame of a chip at its own speed", async () => {
    const result = await found({ line: { baud: 2400 }, sends: segments });
    expect(result).toMatchObject({
      kind: "speaks",
      match: { protocol: { id: "segment-14" }, line: { baud: 2400, frame: "8n1" } },
    });
    if (result.kind === "speaks") expect(result.match.fit).toMatchObject({ frames: 8, bytes: 112 });
  });

  test("text at an unusual speed: its baud rate is found", async () => {
    const result = await found({ line: { baud: 38_400 }, sends: text });
    expect(result).toMatchObject({
      kind: "speaks",
      match: { protocol: { id: "ascii-line" }, line: { baud: 38_400 } },
    });
  });

  test("text with a decimal comma: the address says so", async () => {
    const result = await found({
      line: { baud: 2400 },
      sends: Buffer.from("1,234 V DC\r\n".repeat(6)),
    });
    expect(result).toMatchObject({ kind: "speaks", match: { protocol: { id: "ascii-line" } } });
    if (result.kind !== "speaks") return;
    expect(addressFor(usbPort, result.match)).toBe(
      "serial:COM7?protocol=ascii-line&decimal=comma&baud=2400&rts=off",
    );
  });

  test.each([
    ["ascii-14", "+1794 20\0\0\x80\x19\r\n", { baud: 2400 }],
    ["nibble-11", "11794;00:\r\n", { baud: 19_200, frame: "7o1" }],
    ["nibble-14", "117942;000:0\r\n", { baud: 19_200, frame: "7o1" }],
  ] as const)("%s at its own speed and framing", async (id, frame, line) => {
    const sends = Buffer.from(frame.repeat(8), "latin1");
    const result = await found({ line, sends });
    expect(result).toMatchObject({ kind: "speaks", match: { protocol: { id }, line } });
  });

  test("one that must be asked is asked who it is, and nothing else", async () => {
    const answers = "Example Works,Bench meter 9,0,1.0\r\n";
    const result = await found({ line: { baud: 19_200 }, sends: null, answers });
    expect(result).toMatchObject({
      kind: "speaks",
      match: { protocol: { id: "scpi" }, line: { baud: 19_200 }, says: answers.trim() },
    });
  });

  test("two that fit are both named, and neither is chosen", async () => {
    const twin = { ...lineProtocol, id: "test-twin" };
    const sends = Buffer.from("V1\nV2\nV3\nV4\n");
    const result = await found({ line: { baud: 9600 }, sends }, [lineProtocol, twin].values());
    expect(result).toMatchObject({
      kind: "ambiguous",
      matches: [{ protocol: { id: "test-line" } }, { protocol: { id: "test-twin" } }],
    });
  });

  test("bytes that nothing explains", async () => {
    const sends = Uint8Array.from({ length: 300 }, (_, n) => (n * n * 31 + n * 7) & 0xff);
    expect(await found({ line: { baud: 1_000_000 }, sends })).toMatchObject({ kind: "unknown" });
  });

  test("silence", async () => {
    expect(await found({ line: { baud: 9600 }, sends: null })).toEqual({ kind: "silent" });
  });
});

describe("fits", () => {
  test("two frames are not enough to be sure", () => {
    expect(fitsOf(segments.subarray(0, 28), protocols.values())).toEqual([]);
  });

  test("listening begins and ends in the middle of frames", () => {
    const [best, ...others] = fitsOf(segments.subarray(5, 107), protocols.values());
    expect(best?.protocol.id).toBe("segment-14");
    expect(others).toEqual([]);
  });

  test("a few readings among lines of something else are no meter", () => {
    const talk = Buffer.from(`${"boot: stage two\n".repeat(40)}${"1.5 V DC\n".repeat(4)}`);
    expect(fitsOf(talk, protocols.values())).toEqual([]);
    const [best] = fitsOf(Buffer.from("1.5 V DC\n".repeat(4)), protocols.values());
    expect(best?.protocol.id).toBe("ascii-line");
  });

  test("values without framing prove nothing and are never named", () => {
    const ids = fitsOf(Buffer.from("8004".repeat(50), "hex"), protocols.values());
    expect(ids).toEqual([]);
  });

  test("an unreadable meter is told what its bytes are", () => {
    expect(suggestion(segments, protocols.values())).toContain("put protocol=segment-14");
    expect(suggestion(garbled(segments), protocols.values())).toBeNull();
  });
});

const usbPort = { scheme: "serial", address: "serial:COM7", title: "", lasting: null } as const;

test("the address to use says what differs from the protocol's own settings", () => {
  const protocol = protocols.get("ascii-line")!;
  const line = { ...protocol.line, baud: 38_400, rts: !protocol.line.rts };
  expect(addressFor(usbPort, { protocol, line, fit: null, says: null })).toBe(
    `serial:COM7?protocol=ascii-line&baud=38400&rts=${line.rts ? "on" : "off"}`,
  );
});

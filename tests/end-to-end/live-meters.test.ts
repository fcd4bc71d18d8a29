import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { encodeSegment14 } from "../../protocols/segment-14/encode.js";
import type { PlanInput } from "../../workbench/plan/schema.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { scriptedIo } from "../electron/scripted-io.js";
import { hasSocat, openPty } from "../drivers/pty.js";
import type { Pty } from "../drivers/pty.js";
import { ScriptedMeter } from "./scripted-meter.js";
import { knownSource, smallPlan } from "./small-plan.js";

/** Bytes of one reading of about 17.9 V. */
const sending: readonly (readonly [protocol: string, frame: Uint8Array])[] = [
  ["segment-14", volts(1794)],
  ["ascii-14", Buffer.from("+1794 20\0\0\x80\x19\r\n", "latin1")],
  ["nibble-11", Buffer.from("11794;00:\r\n")],
  ["nibble-14", Buffer.from("117942;000:0\r\n")],
  ["ascii-line", Buffer.from("+17.94 V DC\r\n")],
];

function volts(counts: number): Uint8Array {
  const quantity = { quantity: "voltage", coupling: "dc", prefix: "" } as const;
  return encodeSegment14({ ...quantity, counts, decimals: 2, flags: ["auto"] });
}

const described = hasSocat ? describe : describe.skip;
let folder: string;
let ends: (() => Promise<void> | void)[];
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-live-meters-"));
  ends = [() => rm(folder, { recursive: true, force: true })];
});
afterEach(async () => {
  for (const end of ends.reverse()) await end();
});

async function pty(): Promise<Pty> {
  const opened = await openPty();
  ends.push(() => opened.close());
  return opened;
}

/** Until the test ends. */
function every(ms: number, send: () => void): void {
  const timer = setInterval(send, ms);
  ends.push(() => clearInterval(timer));
}

async function leadhand(...argv: readonly string[]) {
  const io = scriptedIo();
  const status = await runProgram([...argv], io);
  const events = io.lines.map((line) => JSON.parse(line) as Record<string, unknown>);
  return { status, events, err: io.messages };
}

// A pseudo-terminal carries bytes whatever the speed: that speed and framing are found is tested
// with a scripted port (drivers/identify) and in the virtual machine.
described("a meter on a serial line that nobody described (socat)", () => {
  test.each(sending)("sends %s and is named", async (protocol, frame) => {
    const line = await pty();
    every(60, () => void line.say(frame));
    const { events } = await leadhand("meters", `serial:${line.path}`, "--identify", "--json");
    expect(events).toMatchObject([{ found: "speaks", fits: [{ protocol }] }]);
  });

  test("answers *IDN? and is named, with what it says it is", async () => {
    const line = await pty();
    line.onHeard = (bytes) => {
      if (Buffer.from(bytes).toString().includes("*IDN?")) {
        void line.say(Buffer.from("Example Works,Meter,0,1\n"));
      }
    };
    const { events } = await leadhand("meters", `serial:${line.path}`, "--identify", "--json");
    expect(events).toMatchObject([
      { found: "speaks", fits: [{ protocol: "scpi", says: "Example Works,Meter,0,1" }] },
    ]);
  });

  test("a plan runs on it without a word about protocol or speed", async () => {
    const line = await pty();
    const start = performance.now();
    every(60, () => void line.say(volts(performance.now() - start < 5_000 ? 0 : 901)));
    const plan = join(folder, "plan.json");
    await writeFile(plan, JSON.stringify(smallPlan([knownSource])));
    const job = join(folder, "job");
    const meter = `serial:${line.path}`;
    const { status, events } = await leadhand(
      "run",
      "--plan",
      plan,
      "--meter",
      meter,
      "--job",
      job,
      "--json",
    );
    expect(status).toBe(0);
    expect(events).toContainEqual(
      expect.objectContaining({ event: "step", verdict: "pass", value: 9.01 }),
    );
  });

  test("silence is said, not waited for", async () => {
    const line = await pty();
    const plan = join(folder, "plan.json");
    await writeFile(plan, JSON.stringify(smallPlan([knownSource])));
    const { status, err } = await leadhand("run", "--plan", plan, "--meter", `serial:${line.path}`);
    expect(status).toBe(3);
    expect(err.join("\n")).toContain("meter/unidentified");
  });

  test("two meters, volts on a line and amperes on a socket, are on one time base", async () => {
    const line = await pty();
    const ammeter = await ScriptedMeter.open(20);
    ends.push(() => ammeter.close());
    const start_ms = performance.now();
    every(20, () => {
      const amperes = loadAt((performance.now() - start_ms) / 1000);
      void line.say(volts(Math.round(100 * (19.8 - PACK_OHM * amperes))));
      ammeter.show(`${amperes.toFixed(2)} A DC`);
    });
    const plan = join(folder, "plan.json");
    await writeFile(plan, JSON.stringify(smallPlan([sag])));
    const job = join(folder, "job");
    const meters = [`serial:${line.path}?protocol=segment-14`, ammeter.address];
    const run = await leadhand("run", "--plan", plan, "--meter", ...meters, "--job", job, "--json");
    const step = run.events.find(({ event }) => event === "step") as unknown as SagStep;
    expect(step.verdict).toBe("pass");
    const ohm = step.details.internalResistance.value;
    expect(Math.abs(ohm / PACK_OHM - 1)).toBeLessThan(0.05);
    expect((await readdir(join(job, "traces"))).sort()).toEqual(["a.trace", "b.trace"]);
    expect(await replayJob(job, "test")).toMatchObject({ agrees: true, damage: [] });
  });
});

if (!hasSocat) test.skip("live meters on serial lines: socat is not installed", () => undefined);

const PACK_OHM = 0.1;

/** Trigger squeezed from 3 s to 5.5 s. */
function loadAt(time_s: number): number {
  return time_s > 3 && time_s < 5.5 ? 20 : 0;
}

interface SagStep {
  readonly verdict: string;
  readonly details: { readonly internalResistance: { readonly value: number } };
}

const sag: PlanInput["steps"][number] = {
  ...knownSource,
  id: "sag",
  title: "Sag",
  instruction: "Squeeze the trigger.",
  red: "pack-plus",
  black: "pack-minus",
  cautions: ["pack", "moving-tool"],
  condition: { trigger: "worked" },
  watch: { kind: "sag" },
  limits: { low: 15, high: 21, source: "common practice, no source" },
};

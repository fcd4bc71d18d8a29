import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { z } from "zod";
import { readJob } from "../../workbench/job/read-job.js";
import { Child, inRepo, leadhand, ptyPair } from "./processes.js";
import { FOUND, Puppet, SAGS, scpiShow, segmentShow } from "./puppet.js";
import type { Shown } from "./puppet.js";

/** The built program on real bytes: another process plays the meter. */

const eventSchema = z.looseObject({ event: z.string() });
const stepSchema = z.looseObject({
  event: z.literal("step"),
  step: z.string(),
  verdict: z.string(),
  value: z.number().nullable(),
  unit: z.string(),
});
type StepLine = z.infer<typeof stepSchema>;

let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-real-"));
});

afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
});

/** Runs the plan with the puppet at the probes until the program ends. */
async function play(program: Child, perSecond: number, show: (shown: Shown[]) => void) {
  const puppet = new Puppet(perSecond);
  let read = 0;
  const steps: StepLine[] = [];
  const react = (line: string) => {
    const event = eventSchema.parse(JSON.parse(line));
    if (process.env["LEADHAND_TEST_VERBOSE"] && event.event !== "contact") console.log(line);
    if (event.event === "step") steps.push(stepSchema.parse(event));
    const shown =
      event.event === "begin"
        ? puppet.react({ kind: "begin", step: String(event["step"]) })
        : event.event === "prompt" && event["prompt"] !== null
          ? puppet.react({ kind: "prompt", prompt: (event["prompt"] as { kind: string }).kind })
          : null;
    if (shown) show(shown);
  };
  await program
    .until(({ lines }) => {
      while (read < lines.length) react(lines[read++] ?? "");
      return lines.at(-1)?.includes('"event":"ended"');
    })
    .catch(() => undefined);
  return { steps, status: await program.exited };
}

function expectFound(steps: readonly StepLine[], margin: number): void {
  const measured = steps.filter(({ step }) => FOUND[step] !== undefined);
  expect(measured.map(({ step }) => step)).toEqual(Object.keys(FOUND));
  const verdicts = Object.fromEntries(measured.map(({ step, verdict }) => [step, verdict]));
  const healthy = Object.fromEntries(Object.keys(FOUND).map((step) => [step, "pass"]));
  expect(verdicts).toEqual({
    ...healthy,
    "switch-out": "fail",
    "switch-works": "fail",
  });
  for (const { step, value } of measured.filter(({ step }) => !SAGS.includes(step))) {
    expect(Math.abs((value ?? NaN) - (FOUND[step] ?? NaN)), step).toBeLessThanOrEqual(margin);
  }
}

/** The journal on disk says what standard output said, word for word. */
async function expectSameOnDisk(job: string, steps: readonly StepLine[]): Promise<void> {
  const text = await readFile(join(job, "journal.ndjson"), "utf8");
  const recorded = text
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line) as { event?: { kind: string; result?: unknown } })
    .filter(({ event }) => event?.kind === "step")
    .map(({ event }) => event?.result);
  expect(recorded).toEqual(steps);
}

// At once: each waits for its meter most of the time.
describe.concurrent("a plan on real input, without a window", () => {
  it("reads the segment frame from a serial line at 2400 baud", { timeout: 240_000 }, async () => {
    const pty = await ptyPair();
    const meter = new Child(process.execPath, [
      inRepo("tests/end-to-end/players/segment-player.mjs"),
      pty.far,
    ]);
    const job = join(folder, "serial");
    const address = `serial:${pty.near}?protocol=segment-14&baud=2400`;
    const program = leadhand([
      "run",
      "--plan",
      "cordless-brushed",
      "--meter",
      address,
      "--job",
      job,
      "--json",
    ]);
    const { steps, status } = await play(program, 4, (shown) => meter.tell(shown.map(segmentShow)));
    expect(program.errors).toBe("");
    expectFound(steps, 0.011);
    expect(status).toBe(1);
    await expectSameOnDisk(job, steps);
    const content = await readJob(job);
    expect(content.damage).toEqual([]);
    await meter.stop();
    await pty.close();
  });

  it("asks a SCPI instrument on a loopback socket", { timeout: 240_000 }, async () => {
    const meter = new Child(process.execPath, [inRepo("tests/end-to-end/players/scpi-player.mjs")]);
    const port = await meter.until(({ lines }) => lines[0]);
    const job = join(folder, "tcp");
    const address = `tcp://127.0.0.1:${port}?protocol=scpi`;
    const program = leadhand([
      "run",
      "--plan",
      "cordless-brushed",
      "--meter",
      address,
      "--job",
      job,
      "--json",
    ]);
    const { steps, status } = await play(program, 20, (shown) => meter.tell(shown.map(scpiShow)));
    expectFound(steps, 0.001);
    expect(status).toBe(1);
    await expectSameOnDisk(job, steps);
    await meter.stop();
  });
});

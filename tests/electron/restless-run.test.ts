import { cpSync, mkdtempSync, readFileSync, rmSync, statSync, truncateSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { LinkKind } from "../../drivers/link-kind.js";
import { SimulatedClock } from "../../drivers/simulated-clock.js";
import { ORDERS } from "../../workbench/contract/orders.js";
import type { Order } from "../../workbench/contract/orders.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import { startEngine } from "../../electron/run/engine.js";
import type { Engine } from "../../electron/run/engine-types.js";
import { LeadhandError } from "../../protocols/error.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { openJob } from "../../workbench/job/job-folder.js";
import { resumeRunner } from "../../workbench/job/resume.js";
import { planSchema } from "../../workbench/plan/schema.js";
import { ScriptedLink } from "../drivers/scripted-link.js";
import { twoMeterPlan } from "../end-to-end/small-plan.js";

/**
 * Runs that chance disturbs, of the engine as it is: bytes in pieces that are no lines, several at
 * one moment, rubbish, meters pulled out and back, steps skipped and repeated, the program killed.
 * The replay of what is on disk has to say what the journal says, each time.
 */
const plan = planSchema.parse(twoMeterPlan);
const VERSION = "0.0.0-test";

type Channel = "a" | "b";
type Move =
  | {
      readonly do: "send";
      readonly channel: Channel;
      readonly readings: number;
      readonly cut: number;
    }
  | { readonly do: "rubbish"; readonly channel: Channel }
  | { readonly do: "pull"; readonly channel: Channel }
  | { readonly do: "wait"; readonly ms: number }
  | { readonly do: "skip" | "repeat" }
  | { readonly do: "order"; readonly order: Order };

const channel = fc.constantFrom<Channel>("a", "b");
const send = fc.record({
  do: fc.constant("send" as const),
  channel,
  readings: fc.integer({ min: 0, max: 4 }),
  cut: fc.nat({ max: 6 }),
});
const wait = fc.record({ do: fc.constant("wait" as const), ms: fc.constantFrom(40, 100, 250) });
const disturbance = fc.oneof(
  fc.record({ do: fc.constantFrom("rubbish" as const, "pull" as const), channel }),
  fc.record({ do: fc.constant("wait" as const), ms: fc.integer({ min: 600, max: 3000 }) }),
  fc.record({ do: fc.constantFrom("skip" as const, "repeat" as const) }),
  fc.record({ do: fc.constant("order" as const), order: fc.constantFrom(...ORDERS) }),
);
const moves = fc.array(
  fc.oneof(
    { weight: 10, arbitrary: send },
    { weight: 10, arbitrary: wait },
    { weight: 1, arbitrary: disturbance },
  ),
  { minLength: 150, maxLength: 300 },
);

let scratch: string;
let number = 0;
beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), "leadhand-restless-"));
});
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

const turn = () => new Promise<void>((resolve) => setImmediate(resolve));
const unplugged = new LeadhandError("meter/unplugged", { what: "Gone.", action: "Plug it in." });

/** One run on two meters whose far ends are this test. */
class Restless {
  readonly clock = new SimulatedClock(1_000_000_007n);
  readonly folder = join(scratch, String((number += 1)));
  readonly #links = new Map<Channel, ScriptedLink>();
  readonly #held: Record<Channel, string> = { a: "", b: "" };
  #engine: Engine | null = null;
  #step = "";
  #sent = 0;

  async run(all: readonly Move[]): Promise<void> {
    this.#engine = await this.#start();
    for (let n = 0; n < 4; n++) await turn();
    for (const move of all) await this.#make(move);
    await this.#engine.stop();
  }

  async #start(): Promise<Engine> {
    const link: LinkKind = {
      scheme: "practice",
      title: "a script",
      options: ["channel"],
      protocol: "ascii-line",
      vanishes: false,
      load: () =>
        Promise.resolve(({ options }) => () => {
          const made = new ScriptedLink(this.clock);
          this.#links.set(options.get("channel") as Channel, made);
          return made;
        }),
    };
    const setup = {
      plan,
      meters: ["practice:x?channel=a", "practice:x?channel=b"],
      folder: this.folder,
      tool: { make: "Demo Works", model: "Restless", serial: "1", complaint: "" },
      accuracies: [],
      startedAt: "2026-01-02T10:00:00.000Z",
      programVersion: VERSION,
      practice: false,
      clock: this.clock,
      recorded: false,
      links: [link],
      goOn: false,
      experience: null,
      repeats: null,
    };
    return startEngine({
      ...setup,
      order: "fixed",
      reasoning: new DirectReasoning(plan, {}),
      emit: (event) => {
        if (event.kind === "run" && event.event.kind === "begin") this.#step = event.event.step;
      },
    });
  }

  async #make(move: Move): Promise<void> {
    switch (move.do) {
      case "send":
        this.#send(move.channel, move.readings, move.cut);
        break;
      case "rubbish":
        this.#links.get(move.channel)?.say(Uint8Array.of(0xff, 0x31, 0x0d, 0x00, 0x2e));
        break;
      case "pull":
        this.#links.get(move.channel)?.end({ by: "unplugged", error: unplugged });
        break;
      case "skip":
        this.#engine?.skip(this.#step, "for a test");
        break;
      case "repeat":
        this.#engine?.repeat("source");
        break;
      case "order":
        this.#engine?.setOrder(move.order);
        break;
      case "wait":
        this.clock.advanceTo(this.clock.now_ns() + BigInt(move.ms) * 1_000_000n);
        for (let n = 0; n < 3; n++) await turn();
        break;
    }
  }

  /** Lifted for some time, then on something, and so on. */
  #send(to: Channel, readings: number, cut: number): void {
    const value = Math.floor(this.#sent / 60) % 2 === 0 ? 0 : 9.01;
    this.#sent += readings;
    this.#held[to] += `${value.toFixed(2)} ${to === "a" ? "V" : "A"} DC\r\n`.repeat(readings);
    const text = this.#held[to];
    const end = Math.max(0, text.length - cut);
    this.#held[to] = text.slice(end);
    if (end > 0) this.#links.get(to)?.say(text.slice(0, end));
  }
}

test("of a run that chance disturbs, the replay says what the journal says", async () => {
  let steps = 0;
  await fc.assert(
    fc.asyncProperty(moves, async (all) => {
      const restless = new Restless();
      await restless.run(all);
      const replay = await replayJob(restless.folder, VERSION);
      expect(replay).toMatchObject({ agrees: true, differences: [], damage: [], unrecorded: [] });
      steps += replay.steps;
      rmSync(restless.folder, { recursive: true });
    }),
    { numRuns: 25, endOnFailure: true },
  );
  // Most of them came to something that there is to compare.
  expect(steps).toBeGreaterThan(25);
});

test("and so it does where the run was killed, and after it went on", async () => {
  await fc.assert(
    fc.asyncProperty(moves, fc.double({ min: 0, max: 1, noNaN: true }), async (all, share) => {
      const restless = new Restless();
      await restless.run(all);
      const { folder } = restless;
      const killed = `${folder}-killed`;
      cpSync(folder, killed, { recursive: true });
      // The line that was being written; the bytes it follows from were on disk before it.
      const journal = readFileSync(join(killed, "journal.ndjson"), "utf8");
      const opened = journal.indexOf("\n", journal.indexOf("\n") + 1) + 1;
      const length = Math.floor(
        opened + share * (statSync(join(killed, "journal.ndjson")).size - opened),
      );
      truncateSync(join(killed, "journal.ndjson"), length);
      const cut = await replayJob(killed, VERSION);
      expect(cut).toMatchObject({ agrees: true, differences: [] });
      const again = await openJob(killed, { clock: restless.clock });
      await resumeRunner(again);
      await again.record({ kind: "note", time_s: 999, words: "went on" });
      await again.close();
      const now = await replayJob(killed, VERSION);
      expect(now).toMatchObject({ agrees: true, differences: [], damage: [], unrecorded: [] });
      for (const used of [folder, killed]) rmSync(used, { recursive: true });
    }),
    { numRuns: 15, endOnFailure: true },
  );
});

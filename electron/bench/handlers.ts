import { loadPlan } from "../../workbench/plan/load.js";
import type { Clock } from "../../drivers/clock.js";
import { apartHandlers } from "./desk/apart.js";
import { LeadhandError } from "../../protocols/error.js";
import type { Engine } from "../run/engine.js";
import type { RunRequest } from "../run/prepare.js";
import type { BenchRun } from "./bench-run.js";
import type { Handlers } from "./calls-server.js";
import { deskHandlers } from "./desk/desk-handlers.js";
import { tableNamed } from "./desk/tables.js";
import { listMeters } from "./list-meters.js";

/** What the handlers may do to the bench. */
export interface BenchControl {
  readonly run: BenchRun | null;
  readonly clock: Clock;
  /** Folder that holds one folder a job. */
  readonly jobs: string;
  startRun(request: RunRequest): Promise<BenchRun>;
}

/** What the window may ask, and who answers. */
export function benchHandlers(bench: BenchControl): Handlers {
  return {
    ...deskHandlers(bench.jobs),
    ...apartHandlers(() => bench),
    listMeters,
    startRun: async ({ plan, meters, tool, customer, table }) => {
      const accuracy = (await tableNamed(bench.jobs, table)) ?? undefined;
      return { run: (await bench.startRun({ plan, meters, tool, customer, accuracy })).id };
    },
    tryPlan: async ({ text, meter }) => {
      if (!meter.startsWith("practice:")) throw onlyPractice();
      return {
        run: (await bench.startRun({ plan: loadPlan(text, "in the editor"), meters: [meter] })).id,
      };
    },
    stopRun: async () => {
      await bench.run?.engine?.stop();
      return {};
    },
    confirm: ({ step, choice }) => {
      running(bench).confirm(step, choice);
      return {};
    },
    skip: ({ step, reason }) => {
      running(bench).skip(step, reason);
      return {};
    },
    repeat: ({ step }) => {
      running(bench).repeat(step);
      return {};
    },
  };
}

function onlyPractice(): LeadhandError {
  return new LeadhandError("usage/practice-only", {
    what: "A plan that is not kept yet runs on the practice bench alone.",
    action: "Keep it, then start a job with it.",
  });
}

function running(bench: BenchControl): Engine {
  const engine = bench.run?.engine;
  if (engine) return engine;
  throw new LeadhandError("usage/no-run", {
    what: "No plan is being run.",
    action: "Start one first.",
  });
}

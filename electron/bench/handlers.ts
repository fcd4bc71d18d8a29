import { loadPlan } from "../../workbench/plan/load.js";
import { basename, join } from "node:path";
import type { Clock } from "../../drivers/clock.js";
import { apartHandlers } from "./desk/apart.js";
import { noteHandlers } from "./desk/notes.js";
import { LeadhandError } from "../../protocols/error.js";
import { readJobFile } from "../../workbench/job/read-job.js";
import type { IndexPlace, JobQuestions } from "../../workbench/jobs/shop-index.js";
import type { Engine } from "../run/engine-types.js";
import type { RunRequest } from "../run/prepare.js";
import type { BenchRun } from "./bench-run.js";
import type { Handlers } from "./calls-server.js";
import { deskHandlers } from "./desk/desk-handlers.js";
import { keepShopOrder, shopOrder } from "./desk/shop-order.js";
import { tableNamed } from "./desk/tables.js";
import { listMeters } from "./list-meters.js";

/** What the handlers may do to the bench. */
export interface BenchControl {
  readonly run: BenchRun | null;
  readonly clock: Clock;
  /** Folder that holds one folder a job. */
  readonly jobs: string;
  /** The jobs and their index. */
  readonly place: IndexPlace;
  readonly index: JobQuestions;
  /** Goes on with an interrupted job. */
  goOn(job: string): Promise<BenchRun>;
  startRun(request: RunRequest): Promise<BenchRun>;
}

/** What the window may ask, and who answers. */
export function benchHandlers(bench: BenchControl): Handlers {
  return {
    ...deskHandlers(bench.place, bench.index),
    ...apartHandlers(() => bench),
    ...noteHandlers(() => bench),
    listMeters,
    startRun: async ({ plan, meters, tool, customer, tables, order: wanted, repeats: before }) => {
      const { jobs } = bench.place;
      const order = wanted ?? (await shopOrder(jobs));
      if (wanted !== undefined) await keepShopOrder(jobs, wanted);
      const named = tables?.map((table) => tableNamed(jobs, table));
      const accuracies = named === undefined ? undefined : await Promise.all(named);
      const repeats = before === undefined ? undefined : (await readJobFile(join(jobs, before))).id;
      const asked = { plan, meters, tool, customer, accuracies, order, repeats };
      const { id } = await bench.startRun(asked);
      return { run: id, job: basename(id) };
    },
    tryPlan: async ({ text, meter }) => {
      if (!meter.startsWith("practice:")) throw onlyPractice();
      return {
        run: (await bench.startRun({ plan: loadPlan(text, "in the editor"), meters: [meter] })).id,
      };
    },
    goOn: async ({ job }) => ({ run: (await bench.goOn(job)).id }),
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
    readOrder: async () => ({ order: await shopOrder(bench.place.jobs) }),
    setOrder: async ({ order }) => {
      running(bench).setOrder(order);
      await keepShopOrder(bench.place.jobs, order);
      return {};
    },
    declareProbe: ({ place }) => {
      running(bench).declare(place);
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

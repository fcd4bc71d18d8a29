import { parentPort, workerData } from "node:worker_threads";
import type { Plan } from "../../workbench/plan/schema.js";
import type { StepResult } from "../../workbench/plan/step-result.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";

/** The thread that reasons, so that reading the meter never waits for it. */
const { plan, data } = workerData as { plan: Plan; data: Record<string, number> };
const reasoner = new PathReasoner(plan, data);

parentPort?.on("message", ({ id, result }: { id: number; result: StepResult | null }) => {
  if (result) reasoner.take(result);
  parentPort?.postMessage({ id, path: reasoner.path() });
});

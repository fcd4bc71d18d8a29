import { parentPort, workerData } from "node:worker_threads";
import type { Experience } from "../../workbench/models/experience.js";
import type { Plan } from "../../workbench/plan/schema.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import { answerOf } from "./reasoning.js";
import type { PathQuestion } from "./reasoning.js";

/** The thread that reasons. */
const { plan, data, experience } = workerData as {
  readonly plan: Plan;
  readonly data: Record<string, number>;
  readonly experience: Experience | null;
};
const reasoner = new PathReasoner(plan, data, experience);

parentPort?.on("message", ({ id, ...question }: PathQuestion & { id: number }) => {
  parentPort?.postMessage({ id, answer: answerOf(reasoner, question) });
});

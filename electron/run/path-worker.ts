import { parentPort, workerData } from "node:worker_threads";
import type { Experience } from "../../workbench/models/experience.js";
import type { Plan } from "../../workbench/plan/schema.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import type { PathQuestion } from "./path-keeper.js";

/** The thread that reasons, so that reading the meter never waits for it. */
const { plan, data, experience } = workerData as {
  readonly plan: Plan;
  readonly data: Record<string, number>;
  readonly experience: Experience | null;
};
const reasoner = new PathReasoner(plan, data, experience);

function answer(question: PathQuestion): unknown {
  switch (question.ask) {
    case "path":
      if (question.result) reasoner.take(question.result);
      return reasoner.path();
    case "free":
      reasoner.takeFree(question.observation);
      return reasoner.path();
    case "recall":
      reasoner.recall(question.recorded);
      return null;
    case "match":
      return reasoner.matches(question.held);
    case "places":
      return reasoner.places();
  }
}

parentPort?.on("message", ({ id, ...question }: PathQuestion & { id: number }) => {
  parentPort?.postMessage({ id, answer: answer(question) });
});

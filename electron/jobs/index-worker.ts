import { parentPort, workerData } from "node:worker_threads";
import { toLeadhandError } from "../../protocols/error.js";
import { ShopIndex } from "../../workbench/jobs/shop-index.js";
import type { IndexPlace } from "../../workbench/jobs/shop-index.js";
import type { IndexAnswer, IndexQuestion } from "./index-thread.js";

/** The thread that keeps the index: reading a meter never waits for a database or a long list. */
const index = new ShopIndex(workerData as IndexPlace);

parentPort?.on("message", (question: IndexQuestion) => {
  answerOf(question).then(
    (value) => tell({ id: question.id, value }),
    (thrown: unknown) => {
      const { code, what, action } = toLeadhandError(thrown);
      tell({ id: question.id, error: { code, what, action } });
    },
  );
});

function answerOf({ ask, of }: IndexQuestion): Promise<unknown> {
  switch (ask) {
    case "list":
      return index.list(of);
    case "failures":
      return index.failures();
    case "resistance":
      return index.resistance(of);
    case "close":
      return index.close();
  }
}

function tell(answer: IndexAnswer): void {
  parentPort?.postMessage(answer);
}

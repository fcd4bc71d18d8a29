import type { PowerPath } from "../../workbench/contract/events.js";
import type { Declared } from "../../workbench/diagnosis/free/free-event.js";
import type { HeldReading, Match } from "../../workbench/diagnosis/free/match.js";
import type { Measured } from "../../workbench/diagnosis/observation.js";
import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import type { Choice } from "../../workbench/plan/run-event.js";
import type { StepResult } from "../../workbench/plan/step-result.js";

type Recorded = Parameters<PathReasoner["recall"]>[0];
type Asked = Parameters<PathReasoner["choose"]>[0];

/** What a reasoner can be asked, wherever it runs. */
export type PathQuestion =
  | { readonly ask: "take"; readonly result: StepResult }
  | { readonly ask: "take-free"; readonly observation: Measured }
  | { readonly ask: "recall"; readonly recorded: Recorded }
  | { readonly ask: "path" }
  | { readonly ask: "choose"; readonly asked: Asked }
  | { readonly ask: "match"; readonly held: HeldReading }
  | { readonly ask: "places" }
  | { readonly ask: "proposed" };

export function answerOf(reasoner: PathReasoner, question: PathQuestion): unknown {
  switch (question.ask) {
    case "take":
      reasoner.take(question.result);
      return null;
    case "take-free":
      reasoner.takeFree(question.observation);
      return null;
    case "recall":
      reasoner.recall(question.recorded);
      return null;
    case "path":
      return reasoner.path();
    case "choose":
      return reasoner.choose(question.asked);
    case "match":
      return reasoner.matches(question.held);
    case "places":
      return reasoner.places();
    case "proposed":
      return reasoner.proposed();
  }
}

/** What the readings of a run say of the parts. Answers come in the order of the questions. */
export abstract class Reasoning {
  /** Another result; nobody waits for it. */
  take(result: StepResult): void {
    this.tell({ ask: "take", result });
  }

  /** A reading that was taken beside the plan. */
  takeFree(observation: Measured): void {
    this.tell({ ask: "take-free", observation });
  }

  /** A reading taken beside the plan in an earlier sitting. */
  recall(recorded: Recorded): void {
    this.tell({ ask: "recall", recorded });
  }

  /** The parts as they stand now. */
  path(): Promise<PowerPath> {
    return this.ask<PowerPath>({ ask: "path" });
  }

  /** Which step of the plan comes next when what tells most for its work goes first. */
  choose(asked: Asked): Promise<Choice> {
    return this.ask<Choice>({ ask: "choose", asked });
  }

  /** Where probes that show this may be, the likeliest first. */
  matches(held: HeldReading): Promise<Match[]> {
    return this.ask<Match[]>({ ask: "match", held });
  }

  /** All places of this kind of tool. */
  places(): Promise<Declared[]> {
    return this.ask<Declared[]>({ ask: "places" });
  }

  /** Where a measurement would tell most for its work, the best first; none when it is settled. */
  proposed(): Promise<Declared[]> {
    return this.ask<Declared[]>({ ask: "proposed" });
  }

  abstract close(): Promise<void>;

  protected abstract ask<T>(question: PathQuestion): Promise<T>;

  /** What fails is told to whoever asks next. */
  private tell(question: PathQuestion): void {
    this.ask(question).catch(() => undefined);
  }
}

/** Reasons in this thread: for a run that no window watches. */
export class DirectReasoning extends Reasoning {
  readonly #reasoner: PathReasoner;

  constructor(...args: ConstructorParameters<typeof PathReasoner>) {
    super();
    this.#reasoner = new PathReasoner(...args);
  }

  close(): Promise<void> {
    return Promise.resolve();
  }

  // Asynchronous so that what is thrown is a rejection, as from a thread.
  // eslint-disable-next-line @typescript-eslint/require-await
  protected async ask<T>(question: PathQuestion): Promise<T> {
    return answerOf(this.#reasoner, question) as T;
  }
}

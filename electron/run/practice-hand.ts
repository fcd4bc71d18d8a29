import type { HandRequest } from "../../drivers/practice/bench.js";
import type { RunEvent, RunPrompt } from "../../workbench/plan/run-event.js";
import type { Plan, Step } from "../../workbench/plan/schema.js";
import { AS_BOOKED_IN, stateAfter } from "../../workbench/plan/tool-state.js";
import type { ToolState } from "../../workbench/plan/tool-state.js";
import type { PracticeHandEar } from "./engine-types.js";
import type { FreeMoment } from "./free-sitting.js";
import type { PracticeFreeHand } from "./practice-free-hand.js";

type Action = HandRequest["action"];

/**
 * The technician of the practice bench: hears what a person would hear and says what the hand does
 * next. It knows the plan's words and nothing of the faults.
 */
export class PracticeHand implements PracticeHandEar {
  #state: ToolState = AS_BOOKED_IN;
  #step: Step | null = null;
  #request: HandRequest | null = null;
  /** What a question takes for an answer on this dial position. */
  #answersBy: Action = "known-source";

  constructor(
    private readonly plan: Plan,
    private readonly follow: (request: HandRequest) => void,
    /** What a person would see or feel: the choice of a `look` step, by its id. */
    private readonly answer: (step: string) => string | null,
    private readonly free: PracticeFreeHand,
  ) {}

  hearFree(moment: FreeMoment): void {
    this.free.hear(moment);
  }

  hear(event: RunEvent): void {
    switch (event.kind) {
      case "begin":
        this.#begin(event.step, event.next);
        break;
      case "prompt":
        if (event.prompt) this.#obey(event.prompt);
        break;
      case "step":
      case "choose":
      case "contact":
      case "finished":
        break;
    }
  }

  #begin(id: string, next: string | null): void {
    this.#step = this.plan.steps.find((step) => step.id === id) ?? null;
    if (!this.#step) return;
    this.#state = stateAfter(this.#step, this.#state);
    const measuring = this.#step.kind === "measure" ? this.#step : this.#measure(next);
    if (!measuring) {
      if (this.#request) this.#request = { ...this.#request, step: id };
      return;
    }
    this.#request = {
      step: id,
      red: measuring.red,
      black: measuring.black,
      condition: {
        ...this.#state,
        trigger: this.#step.kind === "measure" ? this.#step.condition.trigger : "released",
        shaft: this.#step.kind === "measure" ? this.#step.condition.shaft : "still",
      },
      dial: { quantity: measuring.quantity, coupling: measuring.coupling },
      asMarked: measuring.polarity === "as-marked",
      action: "lift",
    };
    if (this.#step.kind === "measure") this.#act("touch");
  }

  #measure(id: string | null) {
    const step = this.plan.steps.find((each) => each.id === id);
    return step?.kind === "measure" ? step : undefined;
  }

  #obey(prompt: RunPrompt): void {
    if (prompt.kind === "choose") this.#answersBy = prompt.by;
    if (prompt.kind === "choose" || (prompt.kind === "again" && this.#step?.kind === "look")) {
      // Lifted first: asked again, the same touches are made once more.
      this.#act("lift");
      this.#act(this.#answersBy, this.#touchesFor());
      return;
    }
    const action = ACTIONS[prompt.kind];
    if (action !== null) this.#act(action);
  }

  /** As many touches as the place of the choice in the list; the first where nobody knows. */
  #touchesFor(): number {
    if (this.#step?.kind !== "look") return 1;
    const choice = this.answer(this.#step.id);
    return (
      Math.max(
        0,
        this.#step.choices.findIndex(({ id }) => id === choice),
      ) + 1
    );
  }

  #act(action: Action, touches?: number): void {
    if (!this.#request) return;
    this.follow({ ...this.#request, action, ...(touches === undefined ? {} : { touches }) });
  }
}

/** null: the hand is already doing what is asked. */
const ACTIONS: Readonly<Record<Exclude<RunPrompt["kind"], "choose">, Action | null>> = {
  "turn-dial": "touch",
  "clear-flag": "hold-key",
  reseat: "reseat",
  "show-known-source": "known-source",
  "touch-together": "together",
  return: "return",
  squeeze: "squeeze",
  release: "release",
  "turn-shaft": "turn-shaft",
  confirm: "hold-key",
  again: "touch",
  "meter-lost": null,
  "meter-back": "touch",
};

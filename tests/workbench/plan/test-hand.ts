import type { HandRequest, PracticeTruth } from "../../../drivers/practice/bench.js";
import type { RunEvent, RunPrompt } from "../../../workbench/plan/run-event.js";
import type { Plan, Step } from "../../../workbench/plan/schema.js";
import { AS_BOOKED_IN, stateAfter } from "../../../workbench/plan/tool-state.js";
import type { ToolState } from "../../../workbench/plan/tool-state.js";

type Action = HandRequest["action"];

/** A technician who hears what is said, and goes on to the next points after a `do` step. */
export class TestHand {
  private state: ToolState = AS_BOOKED_IN;
  private step: Step | null = null;
  private request: HandRequest | null = null;
  /** What a `do` step takes for yes on this dial position. */
  private yes: Action = "known-source";
  /** What a question takes for an answer. */
  private answersBy: Action = "known-source";
  /** No measuring step follows: nothing to go on to. */
  private last = false;

  constructor(
    private readonly plan: Plan,
    private readonly follow: (request: HandRequest) => void,
    /** What a person would see or feel: the choice of a `look` step. */
    private readonly answer: (step: string) => string | null = () => null,
  ) {}

  hear(event: RunEvent): void {
    if (event.kind === "begin") this.begin(event.step);
    if (event.kind === "prompt" && event.prompt) this.obey(event.prompt);
  }

  /** For gestures that take more than one movement: called with every reading. */
  feel(_current: string | null, _truth: PracticeTruth): void {
    return;
  }

  private begin(id: string): void {
    const at = this.plan.steps.findIndex((step) => step.id === id);
    const step = this.plan.steps[at];
    if (!step) return;
    this.step = step;
    this.state = stateAfter(step, this.state);
    const measuring = this.plan.steps.slice(at).find((each) => each.kind === "measure");
    this.last = measuring === undefined;
    if (!measuring) {
      if (this.request) this.request = { ...this.request, step: id };
      return;
    }
    this.request = {
      step: id,
      red: measuring.red,
      black: measuring.black,
      condition: {
        ...this.state,
        trigger: step.kind === "measure" ? step.condition.trigger : "released",
        shaft: step.kind === "measure" ? step.condition.shaft : "still",
      },
      dial: { quantity: measuring.quantity, coupling: measuring.coupling },
      asMarked: measuring.polarity === "as-marked",
      action: "lift",
    };
    this.act("touch");
  }

  private obey(prompt: RunPrompt): void {
    if (prompt.kind === "confirm") this.yes = prompt.by;
    if (prompt.kind === "choose") this.answersBy = prompt.by;
    if (prompt.kind === "choose" || (prompt.kind === "again" && this.step?.kind === "look")) {
      // Whoever hears the question once more answers once more.
      this.act("lift");
      this.act(this.answersBy, this.touches());
      return;
    }
    const action = this.actionFor(prompt);
    if (action) this.act(action);
  }

  private actionFor(prompt: RunPrompt): Action | null {
    switch (prompt.kind) {
      case "reseat":
        return "reseat";
      case "show-known-source":
        return "known-source";
      case "touch-together":
        return "together";
      case "return":
        return "return";
      case "squeeze":
        return "squeeze";
      case "release":
        return "release";
      case "turn-shaft":
        return "turn-shaft";
      case "clear-flag":
        return "hold-key";
      case "again":
        return this.step?.kind === "do" ? this.yes : null;
      case "confirm":
        return this.last ? "hold-key" : null;
      case "choose":
      case "turn-dial":
      case "meter-lost":
      case "meter-back":
        return null;
    }
  }

  /** As many touches as the place of the choice in the list. */
  private touches(): number {
    if (this.step?.kind !== "look") return 1;
    const choice = this.answer(this.step.id);
    return (
      Math.max(
        0,
        this.step.choices.findIndex(({ id }) => id === choice),
      ) + 1
    );
  }

  private act(action: Action, touches?: number): void {
    if (!this.request) return;
    this.follow({ ...this.request, action, ...(touches === undefined ? {} : { touches }) });
  }
}

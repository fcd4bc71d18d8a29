import type { Order } from "../../workbench/contract/events.js";

interface OrderWords {
  readonly order: Order;
  readonly title: string;
  /** One line that says what it does. */
  readonly note: string;
}

/** In which order a run goes through its plan, for a person to choose. */
export const ORDER_WORDS: readonly OrderWords[] = [
  {
    order: "fixed",
    title: "Fixed",
    note: "Every step as the plan has it, from the supply to the work.",
  },
  {
    order: "proposed",
    title: "Proposed",
    note: "The step that tells most for its work comes next; what cannot tell more is left out, with the reason.",
  },
  {
    order: "free",
    title: "Free",
    note: "Touch what you like: each reading is matched to its place, and the probes say yes or no.",
  },
];

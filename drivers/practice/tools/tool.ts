import type { HandRequest } from "../hand/request.js";
import type { Network, Node } from "../circuit/network.js";

/** In what state the tool stands on the bench. */
export interface ToolState {
  readonly squeezed: boolean;
  readonly pack: "in" | "out" | "at-motor";
  readonly charger: "plugged" | "unplugged";
  readonly case: "closed" | "open" | "motor-out";
  readonly mains: "plugged" | "unplugged";
  readonly motor: "connected" | "disconnected";
  /** Speed at which a hand turns the motor shaft, rad/s; null while nobody does. */
  readonly turned: number | null;
}

export const AT_REST: ToolState = {
  squeezed: false,
  pack: "out",
  charger: "unplugged",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
  turned: null,
};

/** A fault that can be hidden in a tool. */
export interface Fault {
  readonly id: string;
  readonly label: string;
  /** The part that it condemns. */
  readonly part: string;
  /** What it does, one sentence. */
  readonly does: string;
}

/** A fault and what it changes about the parts of its kind of tool. */
export interface PartFault<Parts> extends Fault {
  readonly change: (parts: Parts) => void;
}

/** The parts with the faults of these ids in them. */
export function hide<Parts>(
  parts: Parts,
  faults: readonly PartFault<Parts>[],
  hidden: ReadonlySet<string>,
): Parts {
  for (const fault of faults) if (hidden.has(fault.id)) fault.change(parts);
  return parts;
}

/** Faults as they are told to people and programs. */
export function described(faults: readonly PartFault<never>[]): readonly Fault[] {
  return faults.map(({ id, label, part, does }) => ({ id, label, part, does }));
}

/** A simulated tool: a network with probe points that follows the state it is put in. */
export interface Tool {
  readonly network: Network;
  /** Where a probe can be put. */
  readonly points: ReadonlyMap<string, Node>;
  /** Puts the tool into this state; takes effect with the next step. */
  put(state: ToolState): void;
  /** Advances by one step; the network is solved in here. */
  step(dt_s: number): void;
  /**
   * What a person sees, hears or feels when asked, as the id of a choice; the question is the id
   * of the plan's step. null for a question that this tool has no answer to.
   */
  answer(question: string): string | null;
  /** Something moves fast: short steps are needed. */
  readonly lively: boolean;
  /** Current that the pack delivers, ampere: what a clamp round its lead shows. */
  readonly supply_A: number;
}

/** A kind of tool that the bench can simulate. */
export interface ToolKind {
  readonly kind: string;
  readonly title: string;
  readonly faults: readonly Fault[];
  readonly points: readonly string[];
  /** What a person would measure one after the other, from supply to work. */
  readonly tour: readonly HandRequest[];
  build(faults: ReadonlySet<string>, seed: number): Tool;
}

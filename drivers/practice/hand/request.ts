import type { Coupling, Quantity } from "../../../protocols/reading.js";

/** What the hand at the simulated bench is asked to do; the same words a person would be told. */
export interface HandRequest {
  /** Which step asks: the same words from another step are a new request. */
  readonly step?: string;
  /** Probe points of the tool, by id. */
  readonly red: string;
  readonly black: string;
  readonly condition: {
    readonly trigger: "released" | "squeezed" | "worked";
    readonly pack: "in" | "out" | "at-motor";
    readonly charger: "plugged" | "unplugged";
    readonly shaft: "still" | "turned-by-hand";
    readonly case: "closed" | "open" | "motor-out";
    readonly mains: "plugged" | "unplugged";
    readonly motor: "connected" | "disconnected";
  };
  readonly dial: { readonly quantity: Quantity; readonly coupling: Coupling | null };
  readonly action:
    | "touch"
    | "lift"
    | "reseat"
    | "known-source"
    | "together"
    | "return"
    | "squeeze"
    | "release"
    | "turn-shaft"
    | "hold-key";
  /** It matters which probe is where: the hand looks twice and does not swap them. */
  readonly asMarked?: boolean;
  /** With known-source and together: touch so many times, as an answer; then lift. */
  readonly touches?: number;
}

import type { HeldReading, Match } from "./match.js";

/** A place that was declared before the probes go there. */
export type Declared = Pick<Match, "probe" | "condition" | "words" | "place">;

/** What free probing says while the probes go where they like. */
export type FreeEvent =
  /** A reading stands still and nobody said where: its places are wanted (`offer`). */
  | { readonly kind: "held"; readonly held: HeldReading }
  /** Is it there? `by` tells how to answer. */
  | {
      readonly kind: "ask";
      readonly held: HeldReading;
      readonly matches: readonly Match[];
      /** Which of them is asked. */
      readonly at: number;
      readonly by: AnswerBy;
    }
  /** Shall the proposal go on? The HOLD key says yes, waiting says no. */
  | { readonly kind: "ask-go-on" }
  | { readonly kind: "go-on" }
  | { readonly kind: "taken"; readonly taken: TakenReading }
  /** No place is left that fits. */
  | { readonly kind: "unmatched"; readonly held: HeldReading }
  /** The probes left, or nobody answered, before a place was confirmed. */
  | { readonly kind: "refused" }
  /** Nothing was on the probes for a while. */
  | { readonly kind: "waiting" }
  /** The probes have stood for a while on what was recorded already, or look as if they had. */
  | { readonly kind: "standing" }
  /** Something is on the probes and has not come to rest for a while. */
  | { readonly kind: "restless" };

/**
 * `staying`: the probes that stay say yes, those that lift no; `letting-go`: so does a trigger that is
 * let go; `key`: nothing is on the probes, the HOLD key says yes and waiting no.
 */
export type AnswerBy = "staying" | "letting-go" | "key";

export interface TakenReading {
  readonly held: HeldReading;
  readonly place: Declared;
  readonly how: "declared" | "stayed" | "let-go" | "hold-key";
  readonly time_s: number;
}

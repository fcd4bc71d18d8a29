/**
 * In which order a run goes through its plan: as the plan has it; the step that would tell most for
 * its work next, until nothing more is to be learnt; or wherever the probes go.
 */
export const ORDERS = ["fixed", "proposed", "free"] as const;
export type Order = (typeof ORDERS)[number];

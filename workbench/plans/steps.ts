import type { PlanInput } from "../plan/schema.js";
import { PRACTICE } from "./sources.js";

export type StepInput = PlanInput["steps"][number];
export type MeasureInput = Extract<StepInput, { kind: "measure" }>;
type DoInput = Extract<StepInput, { kind: "do" }>;

/** What a measuring step of a bundled plan says; the rest is usual. */
interface Spot {
  readonly red: string;
  readonly black: string;
  readonly instruction: string;
  readonly condition?: MeasureInput["condition"];
  readonly cautions?: MeasureInput["cautions"];
  readonly needs?: MeasureInput["needs"];
  readonly watch?: MeasureInput["watch"];
  readonly low?: number | string;
  readonly high?: number | string;
  /** Source of the limits; common practice where none is named. */
  readonly source?: string;
  readonly pass: string;
  readonly fail: string;
  readonly more?: Partial<MeasureInput>;
}

/** At rest until nothing moves. */
const STILL = { kind: "settle", window_s: 1, counts: 3 } as const;
/** While a motor runs: a little restless, and nobody holds a trigger for long. */
export const RUNNING_WATCH = { kind: "settle", window_s: 0.8, counts: 10 } as const;
/** Where the resting voltage would pass too: only the sag proves that the load was on. */
export const LOADED_WATCH = { kind: "sag", edge: 0.01, hold_s: 1.5 } as const;
const OHMS = { kind: "settle", window_s: 0.8, counts: 3 } as const;

function limitsOf({ low, high, source }: Spot): Pick<MeasureInput, "limits"> {
  if (low === undefined && high === undefined) return {};
  const limits = { ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) };
  return { limits: { ...limits, source: source ?? PRACTICE } };
}

function spot(id: string, title: string, told: Spot): Omit<MeasureInput, "quantity" | "watch"> {
  return {
    kind: "measure",
    id,
    title,
    instruction: told.instruction,
    cautions: told.cautions ?? [],
    needs: told.needs ?? [],
    red: told.red,
    black: told.black,
    condition: told.condition ?? {},
    ...limitsOf(told),
    means: { pass: told.pass, fail: told.fail },
  };
}

/** DC volts, either way round: what a pack or supply gives is known, and probes get swapped. */
export function volts(id: string, title: string, told: Spot): MeasureInput {
  return {
    ...spot(id, title, told),
    quantity: "voltage",
    coupling: "dc",
    polarity: "either",
    watch: told.watch ?? STILL,
    ...told.more,
  };
}

/** Ohms on what is dead. */
export function ohms(id: string, title: string, told: Spot): MeasureInput {
  const cautions = told.cautions ?? [];
  return {
    ...spot(id, title, { ...told, cautions: ["power-off-for-ohms", ...cautions] }),
    quantity: "resistance",
    watch: told.watch ?? OHMS,
    ...told.more,
  };
}

export function task(
  id: string,
  title: string,
  told: Omit<DoInput, "kind" | "id" | "title">,
): DoInput {
  return { kind: "do", id, title, ...told };
}

import type { Plan } from "./schema.js";
import { wasSkipped } from "./step-results.js";
import type { StepResult } from "./step-result.js";

type Removes = NonNullable<Extract<Plan["steps"][number], { kind: "do" }>["removes"]>;

/** One thing that came off the tool, with what a person noted about it. */
export interface Removed {
  readonly step: string;
  readonly what: string;
  readonly from: string;
  readonly fasteners: number;
  readonly fastenerKind: string | null;
  /** Time of removal on the job's time base, seconds. */
  readonly at_s: number;
  /** File name of a photo in the job, where one was taken. */
  readonly photo: string | null;
}

/** What a person adds to a removal: the plan's count is only what is usual. */
export interface RemovalNote {
  readonly step: string;
  readonly fasteners?: number;
  readonly photo?: string;
}

/** What was put back, and how many fasteners went in. */
export interface PutBack {
  readonly step: string;
  readonly fasteners: number;
}

export interface ClosingList {
  /** Last off, first on. */
  readonly order: readonly ClosingEntry[];
  /** Fasteners that came out and have not gone back in, by kind; empty when all is closed up. */
  readonly leftOver: Readonly<Record<string, number>>;
  readonly partsLeft: number;
}

interface ClosingEntry extends Removed {
  readonly done: boolean;
  /** Of this part: came out minus gone in; negative when more went in than came out. */
  readonly fastenersLeft: number;
  /** In the imperative, to be read aloud. */
  readonly words: string;
}

/** What the list of what came off needs to know of a finished step. */
type Finished = Pick<StepResult, "step" | "reason" | "ended_s">;

/**
 * What came off, in the order in which it came off. Skipped steps removed nothing, and a step that
 * was repeated did not remove it twice.
 */
export function takenApart(
  plan: Plan,
  results: Iterable<Finished>,
  notes: readonly RemovalNote[] = [],
): Removed[] {
  const all = [...results].filter((result) => !wasSkipped(result));
  const first = all.filter(({ step }, at) => all.findIndex((each) => each.step === step) === at);
  return first.flatMap((result) => {
    const step = plan.steps.find(({ id }) => id === result.step);
    if (step?.kind !== "do" || !step.removes) return [];
    return [removed(step.id, step.removes, result.ended_s, notes)];
  });
}

function removed(
  step: string,
  removes: Removes,
  at_s: number,
  notes: readonly RemovalNote[],
): Removed {
  const noted = notes.filter((note) => note.step === step);
  return {
    step,
    what: removes.what,
    from: removes.from,
    fasteners:
      noted.findLast((note) => note.fasteners !== undefined)?.fasteners ?? removes.fasteners,
    fastenerKind: removes.fastenerKind ?? null,
    at_s,
    photo: noted.findLast((note) => note.photo !== undefined)?.photo ?? null,
  };
}

/** The way back: last off, first on, with a count of what is left over. */
export function closingList(
  removals: readonly Removed[],
  putBack: readonly PutBack[] = [],
): ClosingList {
  const order = removals.toReversed().map((item): ClosingEntry => {
    const back = putBack.find(({ step }) => step === item.step);
    const fastenersLeft = item.fasteners - (back?.fasteners ?? 0);
    return { ...item, done: back !== undefined, fastenersLeft, words: words(item) };
  });
  const leftOver: Record<string, number> = {};
  for (const { fastenerKind, fastenersLeft } of order) {
    if (fastenersLeft === 0) continue;
    const kind = fastenerKind ?? "fastener";
    leftOver[kind] = (leftOver[kind] ?? 0) + fastenersLeft;
  }
  for (const [kind, count] of Object.entries(leftOver))
    if (count === 0) Reflect.deleteProperty(leftOver, kind);
  return { order, leftOver, partsLeft: order.filter(({ done }) => !done).length };
}

function words({ what, from, fasteners, fastenerKind }: Removed): string {
  const kind = fastenerKind ?? "fastener";
  const count = fasteners === 0 ? "" : `; ${fasteners} × ${kind}`;
  return `Back onto the ${from}: ${what}${count}.`;
}

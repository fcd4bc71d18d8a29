import type { Plan } from "./schema.js";
import { wasSkipped } from "./step-results.js";
import type { StepResult } from "./step-result.js";

type DoStep = Extract<Plan["steps"][number], { kind: "do" }>;

/** What happened to the tool, in order of time: the lines of the journal that this is about. */
export type ApartEvent = Done | Removal | PutBack | Picture;

interface Done {
  readonly kind: "step";
  readonly time_s: number;
  readonly result: Pick<StepResult, "step" | "reason">;
}

interface PutBack {
  readonly kind: "put-back";
  readonly time_s: number;
  readonly step: string;
  readonly item: number;
  /** How many went in; null: it is off after all. */
  readonly fasteners: number | null;
}

interface Picture {
  readonly kind: "photo";
  readonly time_s: number;
  readonly file: string;
  readonly of?: Place;
}

interface Place {
  readonly step: string;
  readonly item: number;
}

/** What a person noted: the plan's word is only what is usual. */
interface Removal {
  readonly kind: "removed";
  readonly time_s: number;
  readonly step: string;
  /** 0: what the plan expects to come off in this step; 1 and up: what came off besides. */
  readonly item: number;
  readonly what: string;
  readonly from: string;
  readonly fasteners: number;
  readonly fastenerKind: string;
  /** It did not come off after all. */
  readonly withdrawn: boolean;
}

/** One thing that came off the tool. */
export interface Removed {
  readonly step: string;
  readonly item: number;
  readonly what: string;
  readonly from: string;
  readonly fasteners: number;
  /** "" where nobody said. */
  readonly fastenerKind: string;
  /** Time of removal on the job's time base, seconds. */
  readonly at_s: number;
  /** Names of photos in the job folder. */
  readonly photos: readonly string[];
  /** How it went back; null: it is still off. `counted`: somebody counted its fasteners. */
  readonly back: { readonly fasteners: number; readonly counted: boolean } | null;
}

export interface ClosingEntry extends Removed {
  /** Of this part: came out minus gone in; negative when more went in than came out. */
  readonly fastenersLeft: number;
  /** In the imperative, to be read aloud. */
  readonly words: string;
}

export interface ClosingList {
  /** Last off, first on. */
  readonly order: readonly ClosingEntry[];
  /** Fasteners that came out and have not gone back in, by kind; empty when all is closed up. */
  readonly leftOver: Readonly<Record<string, number>>;
  readonly partsLeft: number;
}

/**
 * What is off the tool or has been, as it came off. A step that was skipped removed nothing, and
 * one that was repeated did not remove it twice.
 */
export function takenApart(plan: Plan, events: Iterable<ApartEvent>): ClosingList {
  const record: Items = new Map();
  // Apart from the items: a photo may be taken before anything is noted of what it shows.
  const photos = new Map<string, readonly string[]>();
  for (const event of events) {
    if (event.kind === "photo") addPhoto(photos, event);
    else follow(plan, record, event);
  }
  const withPhotos = (item: Removed) => ({ ...item, photos: photos.get(keyOf(item)) ?? [] });
  const off = [...record.values()].filter((item) => item !== null);
  return closingList(off.map(withPhotos));
}

const KINDS: ReadonlySet<string> = new Set<ApartEvent["kind"]>([
  "step",
  "removed",
  "put-back",
  "photo",
]);

/** Tells the lines that `takenApart` reads from the rest of a journal. */
export function isApart<E extends { readonly kind: string }>(
  event: E,
): event is Extract<E, { kind: ApartEvent["kind"] }> {
  return KINDS.has(event.kind);
}

/** By step and item; null: somebody said that it did not come off. */
type Items = Map<string, Removed | null>;

function follow(plan: Plan, record: Items, event: Exclude<ApartEvent, Picture>): void {
  switch (event.kind) {
    case "step":
      followStep(plan, record, event);
      break;
    case "removed":
      note(record, event);
      break;
    case "put-back":
      putBack(record, event);
      break;
  }
}

const keyOf = ({ step, item }: Place) => `${step} ${item}`;

function followStep(plan: Plan, record: Items, { result, time_s }: Done): void {
  const step = plan.steps.find(({ id }) => id === result.step);
  if (step?.kind !== "do" || wasSkipped(result)) return;
  if (step.removes) takeOff(record, step, time_s);
  for (const [key, entry] of record)
    // The step says that all is back; nobody counted it one by one.
    if (entry?.back === null && step.putsBack?.includes(entry.step))
      record.set(key, { ...entry, back: { fasteners: entry.fasteners, counted: false } });
}

function takeOff(record: Items, step: DoStep, at_s: number): void {
  const before = record.get(keyOf({ step: step.id, item: 0 }));
  if (before === null || before?.back === null || !step.removes) return;
  const { what, from, fasteners, fastenerKind = "" } = step.removes;
  const usual = { what, from, fasteners, fastenerKind, photos: [] };
  add(record, { ...usual, ...before, step: step.id, item: 0, at_s, back: null });
}

/** Once more at the end: the order is the order in which things came off. */
function add(record: Items, entry: Removed): void {
  record.delete(keyOf(entry));
  record.set(keyOf(entry), entry);
}

function note(record: Items, event: Removal): void {
  const { step, item, what, from, fasteners, fastenerKind, withdrawn, time_s } = event;
  if (withdrawn) {
    record.set(keyOf(event), null);
    return;
  }
  const before = record.get(keyOf(event));
  const told = { step, item, what, from, fasteners, fastenerKind };
  const entry = { at_s: time_s, photos: [], back: null, ...before, ...told };
  record.set(keyOf(event), entry);
}

function putBack(record: Items, event: PutBack): void {
  const entry = record.get(keyOf(event));
  if (!entry) return;
  const { fasteners } = event;
  record.set(keyOf(event), {
    ...entry,
    back: fasteners === null ? null : { fasteners, counted: true },
  });
}

function addPhoto(photos: Map<string, readonly string[]>, { of, file }: Picture): void {
  if (!of) return;
  const before = photos.get(keyOf(of)) ?? [];
  if (!before.includes(file)) photos.set(keyOf(of), [...before, file]);
}

/** The way back: last off, first on, with a count of what is left over. */
function closingList(removals: readonly Removed[]): ClosingList {
  const order = removals.toReversed().map((entry): ClosingEntry => {
    const fastenersLeft = entry.fasteners - (entry.back?.fasteners ?? 0);
    return { ...entry, fastenersLeft, words: words(entry) };
  });
  const leftOver: Record<string, number> = {};
  for (const { fastenerKind, fastenersLeft } of order) {
    const kind = fastenerKind === "" ? "fastener" : fastenerKind;
    leftOver[kind] = (leftOver[kind] ?? 0) + fastenersLeft;
  }
  const left = Object.entries(leftOver).filter(([, count]) => count !== 0);
  return {
    order,
    leftOver: Object.fromEntries(left),
    partsLeft: order.filter(({ back }) => back === null).length,
  };
}

function words({ what, from, fasteners, fastenerKind }: Removed): string {
  const kind = fastenerKind === "" ? "fastener" : fastenerKind;
  const count = fasteners === 0 ? "" : `; ${fasteners} × ${kind}`;
  return `Back onto the ${from}: ${what}${count}.`;
}

/** "2 parts, 1 × screw" or that nothing is; for people. */
export function leftWords({ partsLeft, leftOver }: Pick<ClosingList, "partsLeft" | "leftOver">) {
  const fasteners = Object.entries(leftOver).map(([kind, count]) =>
    count > 0 ? `${count} × ${kind}` : `${-count} × ${kind} too many`,
  );
  if (partsLeft === 0 && fasteners.length === 0) return "Nothing is left over.";
  const parts = `${partsLeft} ${partsLeft === 1 ? "part" : "parts"}`;
  return `Left over: ${[parts, ...fasteners].join(", ")}.`;
}

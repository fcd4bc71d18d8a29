import type { BenchEvent, RecordedResult } from "../../workbench/contract/events.js";
import { extendTrace } from "./trace.js";
import { emptyState } from "./state.js";
import type { BenchState, LastResult, StepNow } from "./state.js";

type EventOf<T extends BenchEvent["type"]> = Extract<BenchEvent, { type: T }>;

/** What the window knows after an event. Only the touched slice gets a new identity. */
export function reduce(state: BenchState, event: BenchEvent, now_ms: number): BenchState {
  return { ...apply(state, event, now_ms), heard_ms: now_ms };
}

// One line an event: splitting the table would hide it.
function apply(state: BenchState, event: BenchEvent, now_ms: number): BenchState {
  switch (event.type) {
    case "hello":
      return greet(state, event, now_ms);
    case "clock":
      return { ...state, clock: { time_s: event.time_s, at_ms: now_ms } };
    case "bench":
      return state;
    case "meter":
      return { ...state, meters: { ...state.meters, [event.meter.channel]: event.meter } };
    case "reading":
      return withReading(state, event, now_ms);
    case "trace":
      return withTrace(state, event);
    case "run":
      return startRun(state, event);
    case "order":
      return { ...state, order: event.order };
    case "begin":
      return { ...state, step: beginStep(event), finish: null };
    case "contact":
      return withContact(state, event);
    case "prompt":
      return withStep(state, event.step, (step) => ({ ...step, prompt: promptOf(event) }));
    case "recorded":
      return record(state, event);
    case "path":
      return { ...state, path: event.path };
    case "free":
      return { ...state, free: event.free };
    case "apart":
      return { ...state, apart: { job: event.job, apart: event.apart } };
    case "finished":
      return { ...state, finish: event, step: null };
    case "ended":
      return { ...state, ended: event.how, step: null };
    case "trouble":
      return { ...state, troubles: [...state.troubles, event.error] };
  }
}

function greet(state: BenchState, event: EventOf<"hello">, now_ms: number): BenchState {
  return {
    ...emptyState(now_ms),
    link: state.link,
    calls: event.calls,
    version: event.version,
    clock: { time_s: event.time_s, at_ms: now_ms },
  };
}

function withReading(state: BenchState, event: EventOf<"reading">, now_ms: number): BenchState {
  const { reading, digits, prefix } = event;
  const newest = { reading, digits, prefix, arrived_ms: now_ms };
  return { ...state, readings: { ...state.readings, [reading.channel]: newest } };
}

function withTrace(state: BenchState, event: EventOf<"trace">): BenchState {
  const before = event.fresh ? undefined : state.traces[event.channel];
  return { ...state, traces: { ...state.traces, [event.channel]: extendTrace(before, event) } };
}

function startRun(state: BenchState, event: EventOf<"run">): BenchState {
  const { link, calls, version, clock, meters, readings } = state;
  const kept = { link, calls, version, clock, meters, readings };
  return { ...emptyState(state.heard_ms), ...kept, run: event.run, order: event.run.order };
}

function beginStep(event: EventOf<"begin">): StepNow {
  const { index, time_s, instruction, cautions, why, limits, unit } = event;
  const start = { contact: "lifted", band: null, prompt: null, fresh: true } as const;
  const told = { index, time_s, instruction, cautions, why, limits, unit };
  return { id: event.step, ...told, ...start };
}

function withStep(state: BenchState, id: string, change: (step: StepNow) => StepNow): BenchState {
  return state.step?.id === id ? { ...state, step: change(state.step) } : state;
}

function withContact(state: BenchState, event: EventOf<"contact">): BenchState {
  const { contact, band } = event;
  const next = withStep(state, event.step, (step) => ({ ...step, contact, band, fresh: false }));
  return { ...next, last: afterContact(state.last, state.step, contact) };
}

/**
 * A result stays large until the next contact. A probe that has not moved since is not the next
 * one: it has to be lifted, or the reading has to move under it (a squeeze on the same points).
 */
function afterContact(
  last: LastResult | null,
  step: StepNow | null,
  contact: EventOf<"contact">["contact"],
): LastResult | null {
  if (last === null) return null;
  if (contact === "lifted") return last.lifted ? last : { ...last, lifted: true };
  const unmoved = step === null || step.fresh || step.contact === contact;
  return last.lifted || !unmoved ? null : last;
}

function promptOf(event: EventOf<"prompt">): StepNow["prompt"] {
  return event.kind === null ? null : { kind: event.kind, words: event.words };
}

function record(state: BenchState, event: EventOf<"recorded">): BenchState {
  const recorded = { result: event.result, title: event.title, words: event.words };
  return {
    ...state,
    ledger: [...state.ledger, recorded],
    last: staysLarge(state.last, event.result) ? state.last : { ...recorded, lifted: false },
  };
}

/** A step that is passed over in the same breath must not take the failure from the screen. */
function staysLarge(last: LastResult | null, next: RecordedResult): boolean {
  return last?.result.verdict === "fail" && next.verdict === "not-judged";
}

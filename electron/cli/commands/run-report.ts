import type { Io } from "../io.js";
import type { EngineEvent } from "../../run/engine-event.js";
import type { RunEvent } from "../../../workbench/plan/run-event.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";

export type Reporter = (event: EngineEvent) => void;

/** One event a line on standard output; readings are in the job folder, not here. */
export function jsonReporter(io: Io): Reporter {
  return (event) => {
    const line = jsonOf(event);
    if (line) io.out(JSON.stringify(line));
    if (event.kind === "trouble") io.err(event.error.message);
  };
}

function jsonOf(event: EngineEvent): object | null {
  switch (event.kind) {
    case "state": {
      const { channel, state, time_s, advice } = event;
      return { event: "meter", channel, state, time_s, advice };
    }
    case "note":
      return { event: "note", channel: event.channel, time_s: event.time_s, text: event.text };
    case "run":
      return jsonOfRun(event.event);
    case "trouble": {
      const { code, what, action } = event.error;
      return { event: "trouble", code, what, action };
    }
    case "ended":
      return { event: "ended", how: event.how };
    case "concluded":
      return { event: "conclusion", words: event.words, parts: event.path.parts };
    case "past":
      return {
        event: "going-on",
        steps: event.events.filter(({ kind }) => kind === "step").length,
      };
    case "order":
      return { event: "order", order: event.order };
    case "free": {
      const { words, asking, taken } = event.free;
      return { event: "free", words, asking, taken };
    }
    case "reading":
    case "probed":
      return null;
  }
}

function jsonOfRun(event: RunEvent): object | null {
  switch (event.kind) {
    case "step":
      return event.result;
    case "contact": {
      const { kind, ...rest } = event;
      return { event: kind, ...rest };
    }
    case "choose":
      return null;
    case "begin":
    case "prompt":
    case "finished": {
      const { kind, ...rest } = event;
      return { event: kind, ...rest };
    }
  }
}

/** For people: what to do on standard error, what was found on standard output. */
export function wordReporter(io: Io): Reporter {
  return (event) => {
    switch (event.kind) {
      case "state":
        if (event.advice)
          io.err(`meter ${event.channel}: ${event.state}. ${wordsOf(event.advice)}`);
        else io.err(`meter ${event.channel}: ${event.state}`);
        break;
      case "note":
        io.err(`meter ${event.channel}: ${event.text}`);
        break;
      case "run":
        runWords(event.event, io);
        break;
      case "trouble":
        io.err(event.error.message);
        break;
      case "concluded":
        io.out(event.words);
        break;
      case "past":
        io.err("Going on with what was recorded before.");
        break;
      case "order":
        io.err(`Order: ${event.order}.`);
        break;
      case "free":
        if (event.free.on) io.err(event.free.words);
        break;
      case "reading":
      case "probed":
      case "ended":
        break;
    }
  };
}

function wordsOf(advice: { what: string; action: string; code: string }): string {
  return `${advice.what} ${advice.action} [${advice.code}]`;
}

function runWords(event: RunEvent, io: Io): void {
  switch (event.kind) {
    case "begin":
      io.err(`${event.step}: ${event.instruction}`);
      if (event.why) io.err(`  ${event.why.words}`);
      break;
    case "prompt":
      if (event.words !== "") io.err(`  ${event.words}`);
      break;
    case "step":
      io.out(stepWords(event.result));
      break;
    case "finished":
      io.out(`${event.passed} passed, ${event.failed} failed, ${event.other} not judged`);
      break;
    case "contact":
    case "choose":
      break;
  }
}

function stepWords(result: StepResult): string {
  const { step, verdict, value, unit, overload, uncertainty, reason, doubt } = result;
  const figure = value === null ? (overload === false ? "" : "over range") : figureOf(result);
  const shown = value === null ? figure : `${figure} ${unit}`;
  const spread = uncertainty === null ? "" : ` ± ${uncertainty.toPrecision(2)} ${unit}`;
  const remarks = [reason, doubt].filter((each) => each !== null);
  const why = remarks.length === 0 ? "" : ` (${remarks.join("; ")})`;
  return `${verdict.toUpperCase().padEnd(11)} ${step.padEnd(28)} ${shown}${spread}${why}`;
}

/** A held value is a mean: one place beyond the meter's last says all that it can. */
function figureOf({ value, resolution }: StepResult): string {
  if (value === null) return "";
  if (resolution === null || resolution <= 0) return String(Number(value.toPrecision(7)));
  return value.toFixed(Math.min(20, Math.max(0, 1 - Math.floor(Math.log10(resolution) + 1e-9))));
}

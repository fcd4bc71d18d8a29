import { LeadhandError } from "../../../protocols/error.js";
import type { TimedReading } from "../../../protocols/reading.js";
import { ContactTracker, countOf } from "../../../workbench/measurement/contact.js";
import type { ContactState } from "../../../workbench/measurement/watch.js";
import { readingUncertainty } from "../../../workbench/measurement/uncertainty.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import { readTrace } from "../trace-file.js";
import { positive } from "./sag.js";

interface Options {
  readonly json?: true;
  readonly window: number;
  readonly counts: number;
  readonly resolution?: number;
}

/** Follows contact through a recorded trace and tells every reading that it holds. */
export const registerSettle: Register = (program, { io, done }) => {
  program
    .command("settle <file>")
    .description("where a recorded trace is lifted, touching, settling, held, and at what value")
    .option("--json", "one JSON object a line")
    .option("--window <seconds>", "how long the reading must stay still", positive, 1)
    .option("--counts <n>", "how many counts it may move meanwhile", positive, 3)
    .option(
      "--resolution <volts>",
      "the value of one count, where the file does not show it",
      positive,
    )
    .action(async (file: string, options: Options) => {
      const { time_s, voltage_V, resolution_V } = await readTrace(file);
      if (time_s.length === 0) {
        throw new LeadhandError("input/too-short", {
          what: `${file} has no readings.`,
          action: "Record from before the probes touch until after they are lifted.",
        });
      }
      const resolution = options.resolution ?? resolution_V ?? assumedResolution(voltage_V);
      const readings = time_s.map((t, k) => reading(t, voltage_V[k] as number, resolution));
      const steady = { window_s: options.window, counts: options.counts };
      const events = follow(readings, steady);
      for (const event of events) io.out(options.json ? JSON.stringify(event) : eventText(event));
      const held = events.filter((event) => event.event === "held").length;
      const summary = { event: "end", readings: readings.length, held, resolution, ...steady };
      if (options.json) io.out(JSON.stringify(summary));
      else io.out(`${held} held of ${readings.length} readings`);
      done(EXIT.done);
    });
};

/** Of values written without rounding: what a meter of some thousand counts would show. */
function assumedResolution(values: readonly number[]): number {
  const most = values.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  return most > 0 ? 10 ** (Math.floor(Math.log10(most)) - 3) : 1e-3;
}

function reading(time_s: number, value: number, resolution: number | null): TimedReading {
  return {
    time_s,
    channel: "a",
    quantity: "voltage",
    coupling: "dc",
    value,
    overload: false,
    unit: "V",
    resolution,
    flags: [],
  };
}

interface ContactEvent {
  readonly event: "contact";
  readonly time_s: number;
  readonly contact: ContactState;
}

interface HeldEvent {
  readonly event: "held";
  readonly time_s: number;
  readonly since_s: number;
  readonly value: number;
  readonly unit: "V";
  /** Standard uncertainty of spread and resolution; the meter's accuracy is not in the file. */
  readonly u: number;
  readonly spread: number;
  readonly samples: number;
  readonly polarity: "as-marked" | "reversed";
}

type FollowEvent = ContactEvent | HeldEvent;

function follow(
  readings: readonly TimedReading[],
  steady: { readonly window_s: number; readonly counts: number },
): FollowEvent[] {
  const tracker = new ContactTracker(steady);
  const events: FollowEvent[] = [];
  let state: ContactState | null = null;
  for (const next of readings) {
    tracker.push(next);
    if (tracker.state === state) continue;
    state = tracker.state;
    events.push({ event: "contact", time_s: next.time_s, contact: state });
    if (tracker.rest !== null) events.push(heldEvent(next, tracker.rest));
  }
  return events;
}

function heldEvent(next: TimedReading, rest: NonNullable<ContactTracker["rest"]>): HeldEvent {
  const { mean, spread, samples, since_s } = rest;
  const budget = readingUncertainty(
    { value: mean, resolution: countOf(next), spread, samples },
    null,
    { quantity: "voltage", coupling: "dc" },
  );
  return {
    event: "held",
    time_s: next.time_s,
    since_s,
    value: mean,
    unit: "V",
    u: budget?.u ?? 0,
    spread,
    samples,
    polarity: mean < 0 ? "reversed" : "as-marked",
  };
}

function eventText(event: FollowEvent): string {
  const time = `${event.time_s.toFixed(3).padStart(9)} s  `;
  if (event.event === "contact") return `${time}${event.contact}`;
  const { value, u, samples, since_s } = event;
  const doubt = (2 * u).toPrecision(2);
  return `${time}held ${value.toPrecision(6)} V ± ${doubt} (k = 2) over ${samples} readings since ${since_s.toFixed(3)} s`;
}

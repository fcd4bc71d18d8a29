import type { BenchEvent, BenchEventType } from "../../workbench/contract/events.js";

/** Events of which the newest says everything, in the order in which a window needs them. */
const LATEST = [
  "run",
  "order",
  "begin",
  "contact",
  "prompt",
  "path",
  "free",
  "apart",
  "finished",
  "ended",
  "trouble",
] as const;
type Latest = (typeof LATEST)[number];

/**
 * What the windows show at the moment, kept so that one that has just connected can be told. A new
 * run clears the board.
 */
export class Picture {
  readonly #latest = new Map<Latest, BenchEvent>();
  readonly #meters = new Map<string, BenchEvent>();
  readonly #readings = new Map<string, BenchEvent>();
  #recorded: BenchEvent[] = [];

  take(event: BenchEvent): void {
    if (event.type === "run") this.#clear();
    if (event.type === "begin") this.#forget("contact", "prompt");
    if (event.type === "meter") this.#meters.set(event.meter.channel, event);
    if (event.type === "reading") this.#readings.set(event.reading.channel, event);
    if (event.type === "recorded") this.#recorded.push(event);
    if (isLatest(event.type)) this.#latest.set(event.type, event);
  }

  /** Everything but the plots, which their own keeper tells. */
  events(): BenchEvent[] {
    const run = this.#latest.get("run");
    const others = LATEST.filter((type) => type !== "run").map((type) => this.#latest.get(type));
    const all = [
      run,
      ...this.#meters.values(),
      ...this.#readings.values(),
      ...this.#recorded,
      ...others,
    ];
    return all.filter((event) => event !== undefined);
  }

  #clear(): void {
    this.#latest.clear();
    this.#meters.clear();
    this.#readings.clear();
    this.#recorded = [];
  }

  #forget(...types: readonly Latest[]): void {
    for (const type of types) this.#latest.delete(type);
  }
}

function isLatest(type: BenchEventType): type is Latest {
  return (LATEST as readonly string[]).includes(type);
}

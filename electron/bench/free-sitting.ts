import type { TimedReading } from "../../protocols/reading.js";
import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { BenchEvent, FreeStatus, PowerPath } from "../../workbench/contract/events.js";
import { FreeProbing } from "../../workbench/diagnosis/free/free-probing.js";
import type {
  Declared,
  FreeEvent,
  TakenReading,
} from "../../workbench/diagnosis/free/free-probing.js";
import { measuredAt } from "../../workbench/diagnosis/free/taken.js";
import { valueWords } from "../../workbench/diagnosis/words.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { PathKeeper } from "../run/path-keeper.js";

interface FreeOptions {
  readonly path: PathKeeper;
  /** Resolves when it is on disk. */
  readonly record: (event: JournalEvent) => Promise<void>;
  readonly tell: (event: BenchEvent) => void;
  readonly trouble: (error: LeadhandError) => void;
}

/** Free probing during a run: what the probes show, where that may be, and what was taken. */
export class FreeSitting {
  readonly #probing = new FreeProbing();
  readonly #options: FreeOptions;
  #places: readonly Declared[] = [];
  #status: FreeStatus;

  private constructor(options: FreeOptions, places: readonly Declared[]) {
    this.#options = options;
    this.#places = places;
    this.#status = {
      on: true,
      places: places.map(({ words }, id) => ({ id, words: withoutVerb(words) })),
      declared: null,
      words: "Touch any two points and hold still, or say first where the probes go.",
      asking: false,
      taken: [],
    };
    this.#tell({});
  }

  static async begin(options: FreeOptions): Promise<FreeSitting> {
    return new FreeSitting(options, await options.path.places());
  }

  declare(id: number | null): void {
    const place = id === null ? null : (this.#places[id] ?? null);
    this.#probing.declare(place);
    const words = place === null ? "Touch any two points and hold still." : place.words;
    this.#tell({ declared: place === null ? null : id, words, asking: false });
  }

  trigger(trigger: "released" | "squeezed" | null): void {
    this.#probing.setTrigger(trigger);
  }

  push(reading: TimedReading): void {
    for (const event of this.#probing.push(reading)) this.#hear(event);
  }

  #hear(event: FreeEvent): void {
    switch (event.kind) {
      case "held":
        this.#options.path.matches(event.held).then(
          (matches) => this.#probing.offer(event.held, matches).forEach((one) => this.#hear(one)),
          (thrown: unknown) => this.#options.trouble(toLeadhandError(thrown)),
        );
        break;
      case "ask": {
        const { held, match } = event;
        const value = valueWords(held.quantity, held.value);
        const place = withoutVerb(match.words);
        const words = `${value}: ${place} Stay, or press HOLD, for yes; lift for no.`;
        this.#tell({ words, asking: true });
        break;
      }
      case "lifted":
        this.#tell({ words: "Not there. Touch again for the next place.", asking: false });
        break;
      case "unmatched":
        this.#tell({
          words: "No place that is known fits. Say where the probes are.",
          asking: false,
        });
        break;
      case "taken":
        void this.#take(event.taken);
        break;
    }
  }

  /** On disk first, then part of the reasoning, then shown as recorded. */
  async #take(taken: TakenReading): Promise<void> {
    const { held, place, how, time_s } = taken;
    const { red, black, condition } = place.probe;
    const { quantity, value } = held;
    const words = `${valueWords(quantity, value)} ${withoutVerb(place.words)}`;
    try {
      const entry = {
        kind: "probed",
        time_s,
        quantity,
        red,
        black,
        condition,
        value,
        how,
        words,
      } as const;
      await this.#options.record(entry);
      const path: PowerPath = await this.#options.path.takeFree(measuredAt(place, held));
      this.#options.tell({ type: "path", path });
      const list = [...this.#status.taken, words];
      this.#tell({ words: `Recorded: ${words}`, asking: false, declared: null, taken: list });
    } catch (thrown) {
      this.#options.trouble(toLeadhandError(thrown));
    }
  }

  #tell(changes: Partial<FreeStatus>): void {
    this.#status = { ...this.#status, ...changes };
    this.#options.tell({ type: "free", free: this.#status });
  }
}

/** The place alone, of an instruction to measure there. */
function withoutVerb(words: string): string {
  return words.replace(/^Measure (volts|ohms) /, "");
}

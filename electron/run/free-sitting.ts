import type { TimedReading } from "../../protocols/reading.js";
import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { FreeStatus } from "../../workbench/contract/events.js";
import { FreeProbing } from "../../workbench/diagnosis/free/free-probing.js";
import type {
  AnswerBy,
  Declared,
  FreeEvent,
  TakenReading,
} from "../../workbench/diagnosis/free/free-event.js";
import type { HeldReading } from "../../workbench/diagnosis/free/match.js";
import { measuredAt } from "../../workbench/diagnosis/free/taken.js";
import { oddsWords, valueWords } from "../../workbench/diagnosis/words.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import { cautionWords } from "../../workbench/plan/cautions.js";
import type { CautionKind, Plan } from "../../workbench/plan/schema.js";
import type { Reasoning } from "./reasoning.js";

interface FreeOptions {
  readonly plan: Plan;
  readonly reasoning: Reasoning;
  /** Resolves when it is on disk. */
  readonly record: (event: JournalEvent) => Promise<void>;
  readonly tell: (free: FreeStatus) => void;
  /** A reading was taken: what is known of the parts has changed. */
  readonly taken: () => void;
  /** The technician wants the proposal to go on. */
  readonly goOn: () => void;
  /** The simulated hand, which hears what a person would. */
  readonly hand?: ((moment: FreeMoment) => void) | undefined;
  /** Told of work that a simulated bench has to wait for. */
  readonly hold: (work: Promise<unknown>) => void;
  readonly trouble: (error: LeadhandError) => void;
}

/** What a hand that probes freely reacts to. */
export type FreeMoment =
  | FreeEvent
  /** Where it may go: what tells most, the best first. */
  | { readonly kind: "open"; readonly proposed: readonly Declared[] };

/** No more of the places that may be asked for are listed. */
const MOST_LISTED = 4;
const TOUCH = "Touch any two points and hold still.";
const ANSWERS: Readonly<Record<AnswerBy, string>> = {
  staying: "Stay, or press HOLD, for yes; lift for no.",
  "letting-go": "Stay, or move the trigger back, for yes; lift for no.",
  key: "Press HOLD for yes; wait for no.",
};

/** What is shown where nobody probes freely. */
export const NOT_FREE: FreeStatus = {
  on: false,
  places: [],
  declared: null,
  words: "",
  asking: false,
  cautions: [],
  matches: [],
  next: null,
  taken: [],
};

/** Ohms are for a dead circuit; what else a plan warns of, it warns of where there is power. */
const ON_OHMS: readonly CautionKind[] = ["power-off-for-ohms", "capacitor"];

/** The plan's cautions for whoever probes with the dial on this; before that is known, all. */
function cautionsFor(plan: Plan, quantity: string | null): FreeStatus["cautions"] {
  const ohms = quantity === null ? null : quantity !== "voltage" && quantity !== "current";
  const kinds = new Set(plan.steps.flatMap(({ cautions }) => cautions));
  return [...kinds]
    .filter((kind) => ohms === null || ohms === ON_OHMS.includes(kind))
    .map((kind) => ({ kind, words: cautionWords(kind) }));
}

/** Free probing during a run: what the probes show, where that may be, and what was taken. */
export class FreeSitting {
  readonly #probing = new FreeProbing();
  readonly #options: FreeOptions;
  #places: readonly Declared[] = [];
  #status: FreeStatus;
  #quantity: string | null = null;

  private constructor(options: FreeOptions, places: readonly Declared[]) {
    this.#options = options;
    this.#places = places;
    this.#status = {
      ...NOT_FREE,
      on: true,
      places: places.map(({ place }, id) => ({ id, words: place })),
      words: TOUCH,
      cautions: cautionsFor(options.plan, null),
    };
  }

  static async begin(options: FreeOptions): Promise<FreeSitting> {
    const sitting = new FreeSitting(options, await options.reasoning.places());
    await sitting.#propose({});
    return sitting;
  }

  declare(id: number | null): void {
    const place = id === null ? null : (this.#places[id] ?? null);
    this.#probing.declare(place);
    const words = place === null ? TOUCH : place.words;
    this.#tell({ declared: place === null ? null : id, words, asking: false, matches: [] });
  }

  push(reading: TimedReading): void {
    if (reading.quantity !== this.#quantity) {
      this.#quantity = reading.quantity;
      this.#tell({ cautions: cautionsFor(this.#options.plan, reading.quantity) });
    }
    for (const event of this.#probing.push(reading)) this.#hear(event);
  }

  #hear(event: FreeEvent): void {
    this.#react(event);
    this.#options.hand?.(event);
  }

  #react(event: FreeEvent): void {
    switch (event.kind) {
      case "held":
        this.#options.hold(this.#match(event.held));
        break;
      case "ask":
        this.#ask(event);
        break;
      case "ask-go-on":
        this.#tell({ words: GO_ON, asking: true, matches: [] });
        break;
      case "go-on":
        this.#options.goOn();
        break;
      case "refused":
        this.#tell({ words: "Not there. Touch again for the next place.", asking: false });
        break;
      case "unmatched":
        this.#tell({
          words: "No other place fits. Touch again to begin anew, or say where the probes are.",
          asking: false,
          matches: [],
        });
        break;
      case "waiting":
        this.#tell({ words: WAITING, asking: false, matches: [] });
        break;
      case "standing":
        this.#tell({ words: STANDING, asking: false, matches: [] });
        break;
      case "restless":
        this.#tell({ words: RESTLESS, asking: false, matches: [] });
        break;
      case "taken":
        this.#options.hold(this.#take(event.taken));
        break;
    }
  }

  async #match(held: HeldReading): Promise<void> {
    try {
      const matches = await this.#options.reasoning.matches(held);
      for (const event of this.#probing.offer(held, matches)) this.#hear(event);
    } catch (thrown) {
      this.#options.trouble(toLeadhandError(thrown));
    }
  }

  #ask({ held, matches, at, by }: Extract<FreeEvent, { kind: "ask" }>): void {
    const match = matches[at];
    if (match === undefined) return;
    const value = held.dead ? "Nothing on the probes" : valueWords(held.quantity, held.value);
    const words = `${value}: ${match.place}. ${ANSWERS[by]}`;
    const listed = matches.slice(at, at + MOST_LISTED).map(({ place, probability }) => ({
      words: place,
      odds: oddsWords(probability),
    }));
    this.#tell({ words, asking: true, matches: listed });
  }

  /** On disk first, then part of the reasoning, then shown as recorded. */
  async #take(taken: TakenReading): Promise<void> {
    const { held, place, how, time_s } = taken;
    const { red, black, condition } = place.probe;
    const { quantity, value } = held;
    const words = `${valueWords(quantity, value)} ${place.place}`;
    const measured = { quantity, red, black, condition, value };
    try {
      await this.#options.record({ kind: "probed", time_s, ...measured, how, words });
      this.#options.reasoning.takeFree(measuredAt(place, held));
      this.#options.taken();
      const list = [...this.#status.taken, words];
      await this.#propose({ words: `Recorded: ${words}`, taken: list });
    } catch (thrown) {
      this.#options.trouble(toLeadhandError(thrown));
    }
  }

  /** What would tell most now; it is only said. */
  async #propose(changes: Partial<FreeStatus>): Promise<void> {
    const all = await this.#options.reasoning.proposed();
    // What has to be turned meanwhile never comes to rest.
    const proposed = all.filter(({ condition }) => condition.shaft === "still");
    const next = proposed[0]?.words ?? null;
    this.#tell({ asking: false, declared: null, matches: [], next, ...changes });
    this.#options.hand?.({ kind: "open", proposed });
  }

  #tell(changes: Partial<FreeStatus>): void {
    this.#status = { ...this.#status, ...changes };
    this.#options.tell(this.#status);
  }
}

const GO_ON = "Shall the proposal go on? Press HOLD for yes; wait for no.";
const STANDING = "Recorded already. Lift both probes, then touch the next points.";
const RESTLESS = "The reading does not come to rest. Hold still, or lift.";
const WAITING =
  "Nothing on the probes. Touch any two points and hold still; on a dead circuit press HOLD, on and off.";

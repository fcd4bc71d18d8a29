import type { Reading } from "../reading.js";
import { faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import {
  ERROR_QUEUE_BIT,
  READ_STATUS_BYTE,
  askFunction,
  askReading,
  nextError,
  setUp,
} from "./commands.js";
import type { ScpiOptions } from "./options.js";
import type { Expected, Reply } from "./replies.js";

/** One question: what to send, and what answers it. */
export interface Question {
  readonly lines: readonly string[];
  readonly expected: Expected;
}

/** How often the status byte is asked for. */
const HOUSEKEEPING_S = 2;
/** A queue that never empties is broken: the queues of instruments hold far fewer. */
const MAX_ERRORS_IN_A_ROW = 50;
const BARE = faceOf("unspecified", null, "", []);

/** What to ask next, and what the answers mean. Knows nothing of bytes and time-outs. */
export class Agenda {
  readonly #options: ScpiOptions;
  #setUp: readonly string[];
  /** A first reading, or its absence, comes before any housekeeping. */
  #mayKeepHouse = false;
  #drainingErrors = true;
  #errorsInARow = 0;
  #status_s = -Infinity;
  #turn = 0;
  /** What the instrument says it is set to, where no function was chosen; null: not known. */
  #face: Face | null = null;
  /** Readings that count once the instrument says that it is still set as it was before them. */
  #unproved: Reading[] = [];
  /** Questions that an instrument did not answer and is not asked again. */
  readonly #unanswered = new Set<Expected["kind"]>();
  #readings: Reading[] = [];
  #notes: string[] = [];

  constructor(options: ScpiOptions) {
    this.#options = options;
    this.#setUp = setUp(options);
  }

  /** The next question must not wait: readings hang on it. */
  get isUrgent(): boolean {
    return this.#unproved.length > 0;
  }

  /** The next question; set-up that is still due goes in front of it. */
  next(now_s: number): Question {
    const { lines, expected } = this.#choose(now_s);
    const all = [...this.#setUp, ...lines];
    this.#setUp = [];
    return { lines: all, expected };
  }

  /** Starts over with the set-up: the instrument may have been switched off and on. */
  restart(): void {
    this.#setUp = setUp(this.#options);
    this.#drainingErrors = true;
    this.#unproved = [];
  }

  /** An instrument that leaves one of these unanswered does not have it. */
  unanswered(kind: Expected["kind"]): void {
    this.#mayKeepHouse = true;
    this.#unproved = [];
    // What was answered once is not missing; that answer was lost.
    if (kind === "readings" || (kind === "function" && this.#face !== null)) return;
    this.#unanswered.add(kind);
    this.#notes.push(`The instrument does not answer the question for its ${kind}.`);
  }

  /** Reasons for what in the reply was no reading. */
  answered(reply: Reply): readonly string[] {
    switch (reply.kind) {
      case "identification":
        this.#notes.push(`Instrument: ${reply.text}`);
        return [];
      case "function":
        return this.#onFunction(reply.face);
      case "status":
        if ((reply.byte & ERROR_QUEUE_BIT) !== 0) this.#drainingErrors = true;
        return [];
      case "error":
        this.#onError(reply.number, reply.text);
        return [];
      case "readings":
        (this.#followsDial ? this.#unproved : this.#readings).push(...reply.readings);
        this.#turn++;
        this.#mayKeepHouse = true;
        return reply.reasons;
    }
  }

  /** How many readings came in since `take`. */
  get ready(): number {
    return this.#readings.length;
  }

  /** What came in since the last call. */
  take(): { readings: readonly Reading[]; notes: readonly string[] } {
    const taken = { readings: this.#readings, notes: this.#notes };
    this.#readings = [];
    this.#notes = [];
    return taken;
  }

  #choose(now_s: number): Question {
    return this.#chooseFunction() ?? this.#chooseHousekeeping(now_s) ?? this.#chooseReading();
  }

  /** Nobody chose a function, and the instrument tells which it is set to. */
  get #followsDial(): boolean {
    return this.#options.functions.length === 0 && !this.#unanswered.has("function");
  }

  /** Before the first reading and after each one: between two alike nobody turned the dial. */
  #chooseFunction(): Question | null {
    if (!this.#followsDial || (this.#face !== null && !this.isUrgent)) return null;
    return { lines: [askFunction(this.#options)], expected: { kind: "function" } };
  }

  #onFunction(face: Face): readonly string[] {
    const [before, readings] = [this.#face, this.#unproved];
    this.#face = face;
    this.#unproved = [];
    if (before === null || isSameFunction(before, face)) {
      this.#readings.push(...readings);
      return [];
    }
    return readings.map(() => "function changed");
  }

  #chooseHousekeeping(now_s: number): Question | null {
    if (!this.#mayKeepHouse) return null;
    if (this.#drainingErrors && !this.#unanswered.has("error")) {
      return { lines: [nextError(this.#options)], expected: { kind: "error" } };
    }
    const isDue = now_s - this.#status_s >= HOUSEKEEPING_S && !this.#unanswered.has("status");
    if (!isDue) return null;
    this.#status_s = now_s;
    return { lines: [READ_STATUS_BYTE], expected: { kind: "status" } };
  }

  #chooseReading(): Question {
    const { functions } = this.#options;
    const wanted = functions[this.#turn % functions.length] ?? null;
    const face = wanted?.face ?? this.#face ?? BARE;
    return { lines: askReading(this.#options, wanted), expected: { kind: "readings", face } };
  }

  #onError(number: number, text: string): void {
    this.#errorsInARow = number === 0 ? 0 : this.#errorsInARow + 1;
    this.#drainingErrors = number !== 0 && this.#errorsInARow < MAX_ERRORS_IN_A_ROW;
    if (number !== 0) this.#notes.push(`The instrument reports error ${number}: ${text}`);
  }
}

function isSameFunction(a: Face, b: Face): boolean {
  return a.quantity === b.quantity && a.coupling === b.coupling;
}

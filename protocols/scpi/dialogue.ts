import type { DecoderStats } from "../decoder.js";
import type { Dialogue, DialogueStep } from "../dialogue.js";
import type { ProtocolOptions } from "../protocol.js";
import { faceOf } from "../serial-frame/face.js";
import { bytesOfAscii } from "../text/latin.js";
import { Agenda } from "./agenda.js";
import type { Question } from "./agenda.js";
import { CLEAR_MARK } from "./commands.js";
import { messageText } from "./elements.js";
import { MessageScanner } from "./message-scanner.js";
import { scpiOptions } from "./options.js";
import type { ScpiOptions } from "./options.js";
import { replyOf } from "./replies.js";
import type { Expected, Reply } from "./replies.js";
import { Resync } from "./resync.js";

export function createScpiDialogue(options: ProtocolOptions = {}): Dialogue {
  return new ScpiDialogue(scpiOptions(options));
}

const NAME_EXPECTED: Expected = { kind: "identification" };
/** What a meter that talks unasked sends, where no function was chosen. */
const BARE = faceOf("unspecified", null, "", []);
/** Without an answer to *IDN? that often, the instrument is taken to have none. */
const IDENTIFY_ATTEMPTS = 3;
/** For questions that an instrument may not know at all. */
const SHORT_TIMEOUT_S = 1;
const MAX_TIMEOUT_S = 120;
const MAX_RESYNC_PAUSE_S = 30;

/** What the dialogue is doing. */
type State =
  | { readonly kind: "listening" }
  | { readonly kind: "waiting"; readonly question: Question; readonly asked_s: number }
  /** Answered; the next question is due at the wake time. */
  | { readonly kind: "pausing" }
  /** After a time-out: everything is dropped until every late reply has come. */
  | { readonly kind: "resynchronising"; readonly given: Question; readonly asked_s: number }
  /** After a time-out without *IDN?: everything is dropped until the line has been quiet. */
  | { readonly kind: "quieting"; readonly asked_s: number };

/**
 * Asks one question at a time and never takes a late reply for the next answer: after a time-out
 * it drops everything until no older reply can come (resync.ts). The time-out grows when a late
 * reply shows that the instrument is only slow.
 */
class ScpiDialogue implements Dialogue {
  readonly #options: ScpiOptions;
  readonly #scanner: MessageScanner;
  readonly #agenda: Agenda;
  readonly #resync = new Resync();
  #messages: { readonly message: Uint8Array; readonly end: number }[] = [];
  /** Where the message being read ends, and where those end that gave the readings. */
  #end = 0;
  #ends: number[] = [];
  #state: State = { kind: "listening" };
  #wake_s: number | null = null;
  #write: string[] = [];
  /** What the slowest late reply took, and half as much again. */
  #slow_s = 0;
  #identifyAttempts = 0;
  #lastReading_s = -Infinity;
  #frames = 0;
  #rejected: Record<string, number> = {};

  constructor(options: ScpiOptions) {
    this.#options = options;
    this.#agenda = new Agenda(options);
    this.#scanner = new MessageScanner((message, end) => {
      this.#messages.push({ message, end });
    }, options.replyEnd);
  }

  get stats(): DecoderStats {
    return {
      frames: this.#frames,
      skippedBytes: this.#scanner.skippedBytes,
      rejected: { ...this.#rejected },
    };
  }

  start(now_s: number): DialogueStep {
    if (this.#options.mode !== "listen") this.#askName(now_s);
    return this.#step();
  }

  onBytes(bytes: Uint8Array, now_s: number): DialogueStep {
    this.#scanner.push(bytes);
    const messages = this.#messages;
    this.#messages = [];
    for (const { message, end } of messages) {
      this.#end = end;
      this.#onMessage(message, now_s);
    }
    if (this.#state.kind === "pausing") this.#askNext(now_s);
    else if (this.#state.kind === "waiting" && this.#scanner.inMessage) {
      // A long list is under way: it is the silence that counts, not its length.
      this.#wake_s = Math.max(this.#wake_s ?? 0, now_s + this.#timeout_s("readings"));
    } else if (this.#state.kind === "quieting") this.#wake_s = now_s + this.#timeout_s("readings");
    return this.#step();
  }

  onTimer(now_s: number): DialogueStep {
    if (this.#wake_s !== null && now_s >= this.#wake_s) this.#onWake(now_s);
    return this.#step();
  }

  #onMessage(message: Uint8Array, now_s: number): void {
    const state = this.#state;
    switch (state.kind) {
      case "listening":
        this.#onUnasked(message);
        return;
      case "waiting":
        this.#onAnswer(message, state.question, now_s);
        return;
      case "pausing":
        this.#resync.onName(messageText(message));
        this.#reject("unasked");
        return;
      case "resynchronising":
        if (this.#resync.onMessage(messageText(message))) this.#onResynchronised(state.given);
        else this.#onLate(message, now_s, state.asked_s);
        return;
      case "quieting":
        this.#onLate(message, now_s, state.asked_s);
        return;
    }
  }

  #onUnasked(message: Uint8Array): void {
    const face = this.#options.functions[0]?.face ?? BARE;
    const reply = replyOf(message, { kind: "readings", face }, this.#options);
    if (reply === null) this.#reject("unexpected");
    else this.#accept(reply);
  }

  #onAnswer(message: Uint8Array, question: Question, now_s: number): void {
    const text = messageText(message);
    if (question.lines.includes(text)) {
      this.#reject("echo");
      return;
    }
    if (this.#resync.isName(text)) {
      this.#resync.onName(text);
      this.#reject("late");
      return;
    }
    const reply = replyOf(message, question.expected, this.#options);
    if (reply === null) {
      if (!this.#learnsName(message)) this.#reject("unexpected");
      return;
    }
    if (reply.kind === "readings") this.#lastReading_s = now_s;
    this.#accept(reply);
    this.#state = { kind: "pausing" };
  }

  /** The answer to a *IDN? that was given up. */
  #learnsName(message: Uint8Array): boolean {
    if (this.#resync.identity !== null) return false;
    const reply = replyOf(message, NAME_EXPECTED, this.#options);
    if (reply !== null) this.#accept(reply);
    return reply !== null;
  }

  /** A reply to a question that was given up: the instrument needs that long. */
  #onLate(message: Uint8Array, now_s: number, asked_s: number): void {
    if (!this.#learnsName(message)) this.#reject("late");
    if (this.#resync.isName(messageText(message))) return;
    this.#slow_s = Math.min(MAX_TIMEOUT_S, Math.max(this.#slow_s, 1.5 * (now_s - asked_s)));
  }

  #onWake(now_s: number): void {
    const state = this.#state;
    switch (state.kind) {
      case "listening":
        this.#wake_s = null;
        return;
      case "waiting":
        this.#onTimeout(state.question, state.asked_s, now_s);
        return;
      case "pausing":
        this.#askNext(now_s);
        return;
      case "resynchronising":
        this.#reject("time-out");
        this.#sendResync(this.#resync.again(), now_s);
        return;
      case "quieting":
        this.#state = { kind: "pausing" };
        this.#askNext(now_s);
        return;
    }
  }

  #onTimeout(question: Question, asked_s: number, now_s: number): void {
    const { kind } = question.expected;
    this.#reject("time-out");
    if (kind === "identification" && ++this.#identifyAttempts < IDENTIFY_ATTEMPTS) {
      this.#askName(now_s);
    } else if (this.#resync.identity !== null) {
      this.#state = { kind: "resynchronising", given: question, asked_s };
      this.#sendResync(this.#resync.begin(), now_s);
    } else {
      this.#agenda.unanswered(kind);
      this.#scanner.drop();
      this.#state = { kind: "quieting", asked_s };
      this.#wake_s = now_s + this.#timeout_s("readings");
    }
  }

  /** Waits longer each time: an instrument that is off must not be talked to all day. */
  #sendResync(line: string, now_s: number): void {
    this.#scanner.drop();
    this.#write.push(line);
    const pause_s = this.#timeout_s("identification") * 2 ** Math.min(this.#resync.attempts, 10);
    this.#wake_s = now_s + Math.min(Math.max(MAX_RESYNC_PAUSE_S, this.#slow_s), pause_s);
  }

  #onResynchronised(given: Question): void {
    if (!this.#resync.sawLateReply) this.#agenda.unanswered(given.expected.kind);
    this.#agenda.restart();
    this.#write.push(CLEAR_MARK);
    this.#state = { kind: "pausing" };
  }

  #askName(now_s: number): void {
    this.#ask({ lines: [this.#resync.askName()], expected: NAME_EXPECTED }, now_s);
  }

  #askNext(now_s: number): void {
    const due_s = this.#lastReading_s + this.#options.interval_s;
    if (now_s < due_s && !this.#agenda.isUrgent) {
      this.#state = { kind: "pausing" };
      this.#wake_s = due_s;
    } else this.#ask(this.#agenda.next(now_s), now_s);
  }

  #ask(question: Question, now_s: number): void {
    this.#write.push(...question.lines);
    this.#state = { kind: "waiting", question, asked_s: now_s };
    this.#wake_s = now_s + this.#timeout_s(question.expected.kind);
  }

  #timeout_s(kind: Expected["kind"]): number {
    const { timeout_s } = this.#options;
    const usual_s = kind === "readings" ? timeout_s : Math.min(timeout_s, SHORT_TIMEOUT_S);
    return Math.max(usual_s, this.#slow_s);
  }

  #accept(reply: Reply): void {
    if (reply.kind === "identification") {
      this.#resync.identity = reply.text;
      this.#resync.onName(reply.text);
    }
    if (reply.kind === "readings" && reply.readings.length > 0) this.#frames++;
    for (const reason of this.#agenda.answered(reply)) this.#reject(reason);
    while (this.#ends.length < this.#agenda.ready) this.#ends.push(this.#end);
  }

  #reject(reason: string): void {
    this.#rejected[reason] = (this.#rejected[reason] ?? 0) + 1;
  }

  #step(): DialogueStep {
    const { terminator } = this.#options;
    const lines = this.#write.map((line) => line + terminator).join("");
    const write = lines === "" ? null : bytesOfAscii(lines);
    const ends = this.#ends;
    [this.#write, this.#ends] = [[], []];
    return { write, wake_s: this.#wake_s, ends, ...this.#agenda.take() };
  }
}

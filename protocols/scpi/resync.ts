import { IDENTIFY, askMarked } from "./commands.js";

/**
 * Finds out when every late reply has come. Instruments answer in order (IEEE 488.2 clause 6, from
 * memory), so when the answer to a question that looks like no other is there, nothing older is
 * under way. Such a question is the name behind a mark that changes each time; where an instrument
 * does not answer that, the name alone, and then each one that was asked for has to come.
 */
export class Resync {
  /** The answer to *IDN?; null: not known. */
  identity: string | null = null;
  /** False once an instrument answered the name alone and not the marked question. */
  #mayMark = true;
  #mark = 0;
  #attempts = 0;
  /** Names asked for and not come. */
  #owed = 0;
  /** Of these, asked for since `begin`. */
  #askedSince = 0;
  #lateReplies = 0;

  /** Whether something else than names came in since `begin`: the instrument is only slow. */
  get sawLateReply(): boolean {
    return this.#lateReplies > 0;
  }

  get attempts(): number {
    return this.#attempts;
  }

  askName(): string {
    this.#owed++;
    this.#askedSince++;
    return IDENTIFY;
  }

  /** Starts over; returns what to send. */
  begin(): string {
    this.#mark = (this.#mark % 255) + 1;
    this.#attempts = 0;
    this.#askedSince = 0;
    this.#lateReplies = 0;
    return this.#question();
  }

  /** No answer in time: marked and plain questions take turns. */
  again(): string {
    this.#attempts++;
    return this.#question();
  }

  /** A name, alone or behind any mark, is never the answer to something else. */
  isName(text: string): boolean {
    return this.identity !== null && text.endsWith(this.identity) && this.#isMarkOrNothing(text);
  }

  /** Keeps count of the names that were owed. */
  onName(text: string): void {
    if (text === this.identity) this.#owed = Math.max(0, this.#owed - 1);
  }

  /** Takes a message while resynchronising; true when nothing older can come any more. */
  onMessage(text: string): boolean {
    if (!this.isName(text)) {
      this.#lateReplies++;
      return false;
    }
    this.onName(text);
    if (text === `${this.#mark};${this.identity ?? ""}`) {
      // Settles what was asked before the mark; a name asked after it may still be under way.
      this.#owed = this.#askedSince;
      return true;
    }
    if (text !== this.identity || this.#owed > 0 || this.#isMarked()) return false;
    this.#mayMark = false;
    return true;
  }

  #question(): string {
    return this.#isMarked() ? askMarked(this.#mark) : this.askName();
  }

  #isMarked(): boolean {
    return this.#mayMark && this.#attempts % 2 === 0;
  }

  #isMarkOrNothing(text: string): boolean {
    return /^(\d+;)?$/.test(text.slice(0, text.length - (this.identity?.length ?? 0)));
  }
}

const LF = 0x0a;
const CR = 0x0d;
const SPACE = 0x20;
const COMMA = 0x2c;
const SEMICOLON = 0x3b;
const HASH = 0x23;
const DOUBLE_QUOTE = 0x22;
const SINGLE_QUOTE = 0x27;

/** Longer than any list of readings that is asked for here; what is longer is not a reply. */
const MAX_MESSAGE_LENGTH = 1 << 21;

type Place =
  | "start" // of an element: here a block may begin
  | "text"
  | "string"
  | "block sign"
  | "block length"
  | "block data"
  | "open block" // of unknown length: to the line feed
  | "lost"; // not a reply: to the next line feed

/**
 * Finds the ends of response messages (IEEE 488.2 clause 8, from memory): a line feed that is
 * not inside a block of data. Everything else is left to whoever reads the message.
 */
export class MessageScanner {
  readonly #onMessage: (message: Uint8Array) => void;
  #held = new Uint8Array(256);
  #length = 0;
  #place: Place = "start";
  #quote = 0;
  #digitsLeft = 0;
  #dataLeft = 0;
  skippedBytes = 0;

  constructor(onMessage: (message: Uint8Array) => void) {
    this.#onMessage = onMessage;
  }

  /** A message has begun and not ended. */
  get inMessage(): boolean {
    return this.#length > 0;
  }

  push(bytes: Uint8Array): void {
    for (const byte of bytes) this.#take(byte);
  }

  /** Forgets the message under way. */
  drop(): void {
    this.skippedBytes += this.#length;
    this.#length = 0;
    this.#place = "start";
  }

  #take(byte: number): void {
    if (byte === LF && this.#place !== "block data") {
      this.#end();
      return;
    }
    if (this.#place === "lost") {
      this.skippedBytes++;
      return;
    }
    this.#keep(byte);
    this.#place = this.#next(byte);
    if (this.#length > MAX_MESSAGE_LENGTH || (this.#place === "lost" && this.#length > 0)) {
      this.drop();
      this.#place = "lost";
    }
  }

  #next(byte: number): Place {
    switch (this.#place) {
      case "start":
      case "text":
        return this.#nextInText(byte);
      case "string":
        return byte === this.#quote ? "text" : isText(byte) ? "string" : "lost";
      case "block sign":
        return this.#nextAfterSign(byte);
      case "block length":
        return this.#nextInLength(byte);
      case "block data":
        return --this.#dataLeft === 0 ? "text" : "block data";
      case "open block":
      case "lost":
        return this.#place;
    }
  }

  #nextInText(byte: number): Place {
    if (byte === COMMA || byte === SEMICOLON) return "start";
    if (byte === HASH && this.#place === "start") return "block sign";
    if (byte === DOUBLE_QUOTE || byte === SINGLE_QUOTE) {
      this.#quote = byte;
      return "string";
    }
    if (byte === SPACE) return this.#place;
    return isText(byte) ? "text" : "lost";
  }

  /** #0: up to the line feed, as no link here carries the END of clause 8.7.10; #1 to #9: that many digits of length follow; else a number in hex. */
  #nextAfterSign(byte: number): Place {
    if (byte < 0x30 || byte > 0x39) return isText(byte) ? "text" : "lost";
    this.#digitsLeft = byte - 0x30;
    this.#dataLeft = 0;
    return this.#digitsLeft === 0 ? "open block" : "block length";
  }

  #nextInLength(byte: number): Place {
    if (byte < 0x30 || byte > 0x39) return "lost";
    this.#dataLeft = this.#dataLeft * 10 + (byte - 0x30);
    if (--this.#digitsLeft > 0) return "block length";
    if (this.#dataLeft > MAX_MESSAGE_LENGTH) return "lost";
    return this.#dataLeft === 0 ? "text" : "block data";
  }

  #keep(byte: number): void {
    if (this.#length === this.#held.length) {
      const grown = new Uint8Array(this.#held.length * 2);
      grown.set(this.#held, 0);
      this.#held = grown;
    }
    this.#held[this.#length++] = byte;
  }

  #end(): void {
    let length = this.#length;
    if (length > 0 && this.#held[length - 1] === CR) length--;
    const message = this.#held.slice(0, length);
    this.#length = 0;
    this.#place = "start";
    if (length > 0) this.#onMessage(message);
  }
}

const isText = (byte: number) => (byte >= SPACE && byte < 0x7f) || byte === 0x09 || byte === CR;

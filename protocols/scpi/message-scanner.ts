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

/** `end`: how many bytes the scanner had been given when the message was whole. */
type OnMessage = (message: Uint8Array, end: number) => void;

/**
 * Finds the ends of response messages (IEEE 488.2 clause 8, from memory): a line feed that is
 * not inside a block of data. Everything else is left to whoever reads the message.
 */
export class MessageScanner {
  readonly #onMessage: OnMessage;
  readonly #endByte: number;
  #held = new Uint8Array(256);
  #length = 0;
  #place: Place = "start";
  #quote = 0;
  #digitsLeft = 0;
  #dataLeft = 0;
  #givenBytes = 0;
  skippedBytes = 0;

  /** `end`: the byte that ends a message; a carriage return in front of it is dropped. */
  constructor(onMessage: OnMessage, end: number = LF) {
    this.#onMessage = onMessage;
    this.#endByte = end;
  }

  /** A message has begun and not ended. */
  get inMessage(): boolean {
    return this.#length > 0;
  }

  push(bytes: Uint8Array): void {
    let at = 0;
    while (at < bytes.length) {
      const end = this.#place === "text" || this.#place === "start" ? endOfPlain(bytes, at) : at;
      if (end > at) this.#keepPlain(bytes, at, end);
      else this.#take(bytes[at] ?? 0, this.#givenBytes + at + 1);
      at = Math.max(end, at + 1);
    }
    this.#givenBytes += bytes.length;
  }

  /** Forgets the message under way. */
  drop(): void {
    this.skippedBytes += this.#length;
    this.#length = 0;
    this.#place = "start";
  }

  #take(byte: number, given: number): void {
    if (byte === this.#endByte && this.#place !== "block data") {
      this.#end(given);
      return;
    }
    // Where the carriage return ends a message, a line feed behind it belongs to nothing.
    if (byte === LF && this.#length === 0 && this.#place === "start") return;
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
    this.#reserve(1);
    this.#held[this.#length++] = byte;
  }

  /** Letters and digits change nothing: they are taken in one go. */
  #keepPlain(bytes: Uint8Array, from: number, to: number): void {
    if (this.#length + to - from > MAX_MESSAGE_LENGTH) {
      this.drop();
      this.#place = "lost";
      this.skippedBytes += to - from;
      return;
    }
    this.#reserve(to - from);
    for (let at = from; at < to; at++) this.#held[this.#length++] = bytes[at] ?? 0;
    this.#place = "text";
  }

  #reserve(more: number): void {
    if (this.#length + more <= this.#held.length) return;
    const grown = new Uint8Array(Math.max(this.#held.length * 2, this.#length + more));
    grown.set(this.#held.subarray(0, this.#length), 0);
    this.#held = grown;
  }

  #end(given: number): void {
    let length = this.#length;
    if (length > 0 && this.#held[length - 1] === CR) length--;
    const message = this.#held.slice(0, length);
    this.#length = 0;
    this.#place = "start";
    if (length > 0) this.#onMessage(message, given);
  }
}

/** Where the run of bytes ends that neither start nor end anything. */
function endOfPlain(bytes: Uint8Array, from: number): number {
  let at = from;
  while (at < bytes.length && PLAIN[bytes[at] ?? 0] === 1) at++;
  return at;
}

const PLAIN = Uint8Array.from({ length: 256 }, (_, byte) =>
  byte > SPACE && byte < 0x7f && !",;#\"'".includes(String.fromCharCode(byte)) ? 1 : 0,
);

const isText = (byte: number) => (byte >= SPACE && byte < 0x7f) || byte === 0x09 || byte === CR;

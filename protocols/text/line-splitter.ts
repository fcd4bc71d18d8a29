/** Which bytes end a line. "any": a carriage return, a line feed, or both. */
export type Terminator = "any" | "lf" | "cr" | "crlf";

const CR = 0x0d;
const LF = 0x0a;
/** A meter's line is far shorter; what is longer is not one. */
const MAX_LINE_LENGTH = 256;

type OnLine = (buffer: Uint8Array, length: number, end: number) => void;

/**
 * Cuts a stream into lines, without their ends and without empty ones. `onLine` gets a buffer that
 * is used again for the next line, its length, and how many of the bytes pushed it ends behind.
 */
export class LineSplitter {
  readonly #terminator: Terminator;
  readonly #onLine: OnLine;
  readonly #buffer = new Uint8Array(MAX_LINE_LENGTH);
  #length = 0;
  #tooLong = false;
  skippedBytes = 0;

  constructor(terminator: Terminator, onLine: OnLine) {
    this.#terminator = terminator;
    this.#onLine = onLine;
  }

  push(bytes: Uint8Array): void {
    const buffer = this.#buffer;
    let at = 0;
    for (const byte of bytes) {
      at++;
      if (byte === LF || byte === CR) this.#atEnd(byte, at);
      else if (this.#length < MAX_LINE_LENGTH) buffer[this.#length++] = byte;
      else {
        this.#tooLong = true;
        this.skippedBytes++;
      }
    }
  }

  reset(): void {
    this.#length = 0;
    this.#tooLong = false;
    this.skippedBytes = 0;
  }

  #atEnd(byte: number, at: number): void {
    if (!this.#endsLine(byte)) {
      if (this.#length < MAX_LINE_LENGTH) this.#buffer[this.#length++] = byte;
      return;
    }
    const length = this.#length - (this.#buffer[this.#length - 1] === CR ? 1 : 0);
    this.#length = 0;
    if (this.#tooLong) this.skippedBytes += length;
    else if (length > 0) this.#onLine(this.#buffer, length, at);
    this.#tooLong = false;
  }

  /** With "crlf", the carriage return waits in the buffer for its line feed. */
  #endsLine(byte: number): boolean {
    switch (this.#terminator) {
      case "any":
        return true;
      case "lf":
        return byte === LF;
      case "cr":
        return byte === CR;
      case "crlf":
        return byte === LF && (this.#tooLong || this.#buffer[this.#length - 1] === CR);
    }
  }
}

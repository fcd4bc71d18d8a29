import type { Decoder, DecoderStats } from "../decoder.js";
import type { ProtocolOptions } from "../protocol.js";
import type { Reading } from "../reading.js";
import { faceOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { elementsOf } from "./elements.js";
import { MessageScanner } from "./message-scanner.js";
import { scpiOptions } from "./options.js";
import type { ScpiOptions } from "./options.js";
import { readingsOf } from "./values.js";

/** Replies to READ?, FETCh? or MEASure?, or what a talk-only instrument sends by itself. */
export function createScpiDecoder(options: ProtocolOptions = {}): Decoder {
  return new ScpiDecoder(scpiOptions(options));
}

const NONE: readonly Reading[] = [];
const BARE = faceOf("unspecified", null, "", []);

class ScpiDecoder implements Decoder {
  readonly #options: ScpiOptions;
  #scanner: MessageScanner;
  #readings: Reading[] = [];
  #ends: number[] = [];
  #givenBytes = 0;
  #frames = 0;
  #rejected: Record<string, number> = {};

  constructor(options: ScpiOptions) {
    this.#options = options;
    this.#scanner = this.#newScanner();
  }

  get stats(): DecoderStats {
    return {
      frames: this.#frames,
      skippedBytes: this.#scanner.skippedBytes,
      rejected: { ...this.#rejected },
    };
  }

  push(bytes: Uint8Array, ends?: number[]): readonly Reading[] {
    this.#scanner.push(bytes);
    const before = this.#givenBytes;
    this.#givenBytes += bytes.length;
    if (this.#readings.length === 0) return NONE;
    ends?.push(...this.#ends.map((end) => end - before));
    const readings = this.#readings;
    this.#readings = [];
    this.#ends = [];
    return readings;
  }

  reset(): void {
    this.#scanner = this.#newScanner();
    this.#readings = [];
    this.#ends = [];
    this.#givenBytes = 0;
    this.#frames = 0;
    this.#rejected = {};
  }

  #newScanner(): MessageScanner {
    const { replyEnd } = this.#options;
    return new MessageScanner((message, end) => this.#onMessage(message, end), replyEnd);
  }

  #onMessage(message: Uint8Array, end: number): void {
    const elements = elementsOf(message);
    const { readings, reasons } = readingsOf(elements, this.#face(0), this.#options);
    for (const reason of reasons) this.#rejected[reason] = (this.#rejected[reason] ?? 0) + 1;
    if (readings.length > 0) this.#frames++;
    // Each reading of a list has the functions in turn where the address names two.
    this.#readings.push(...readings.map((reading, n) => this.#inTurn(reading, n)));
    this.#ends.push(...readings.map(() => end));
  }

  #inTurn(reading: Reading, n: number): Reading {
    if (this.#options.functions.length < 2) return reading;
    const { quantity, coupling, unit } = this.#face(n);
    return { ...reading, quantity, coupling, unit };
  }

  #face(n: number): Face {
    const { functions } = this.#options;
    return functions[n % functions.length]?.face ?? BARE;
  }
}

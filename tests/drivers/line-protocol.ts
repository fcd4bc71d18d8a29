import type { Decoder } from "../../protocols/decoder.js";
import type { Dialogue, DialogueStep } from "../../protocols/dialogue.js";
import type { Protocol } from "../../protocols/protocol.js";
import type { Reading } from "../../protocols/reading.js";

/** The smallest protocol there is, for tests of what carries it: "V" number newline. */
export const lineProtocol: Protocol = {
  id: "test-line",
  title: "a V, a number, a newline",
  line: { baud: 9600, frame: "8n1", dtr: true, rts: false },
  interval_s: 0.3,
  frameLength: null,
  options: ["separator"],
  createDecoder: () => new LineDecoder(),
};

/** The same, asked for: "?" is answered by one line; asked again every second. */
export const askedProtocol: Protocol = {
  ...lineProtocol,
  id: "test-asked",
  createDialogue: () => new AskingDialogue(),
};

class LineDecoder implements Decoder {
  #text = "";
  stats = { frames: 0, skippedBytes: 0, rejected: {} };

  push(bytes: Uint8Array, ends?: number[]): Reading[] {
    let at = -this.#text.length;
    this.#text += new TextDecoder().decode(bytes);
    const lines = this.#text.split("\n");
    this.#text = lines.pop() ?? "";
    return lines.flatMap((line) => {
      at += line.length + 1;
      const readings = this.#read(line);
      ends?.push(...readings.map(() => at));
      return readings;
    });
  }

  reset(): void {
    this.#text = "";
  }

  #read(line: string): Reading[] {
    const value = line.startsWith("V") ? Number(line.slice(1)) : NaN;
    const { frames, skippedBytes, rejected } = this.stats;
    if (Number.isNaN(value)) {
      this.stats = { frames, skippedBytes: skippedBytes + line.length + 1, rejected };
      return [];
    }
    this.stats = { frames: frames + 1, skippedBytes, rejected };
    return [volts(value)];
  }
}

class AskingDialogue implements Dialogue {
  readonly #decoder = new LineDecoder();
  #given = 0;

  get stats(): LineDecoder["stats"] {
    return this.#decoder.stats;
  }

  start(now_s: number): DialogueStep {
    return this.#ask(now_s, []);
  }

  onBytes(bytes: Uint8Array, now_s: number): DialogueStep {
    const ends: number[] = [];
    const readings = this.#decoder.push(bytes, ends);
    const before = this.#given;
    this.#given += bytes.length;
    const since = ends.map((end) => before + end);
    return { write: null, wake_s: now_s + 1, readings, ends: since, notes: [] };
  }

  onTimer(now_s: number): DialogueStep {
    return this.#ask(now_s, [`asked at ${now_s}`]);
  }

  #ask(now_s: number, notes: string[]): DialogueStep {
    return {
      write: new TextEncoder().encode("?"),
      wake_s: now_s + 1,
      readings: [],
      ends: [],
      notes,
    };
  }
}

function volts(value: number): Reading {
  return {
    quantity: "voltage",
    coupling: "dc",
    value,
    overload: false,
    unit: "V",
    resolution: 0.01,
    flags: [],
  };
}

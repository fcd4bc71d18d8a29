import { encodeSegment14 } from "../../protocols/segment-14/encode.js";

/** A hand-held meter that sends display frames at its own pace, wherever they go. */
export class PacedMeter {
  #sent = 0;
  #timer: NodeJS.Timeout | null = null;

  constructor(
    private readonly send: (bytes: Uint8Array) => void,
    private readonly rate_Hz: number,
  ) {}

  on(): void {
    this.#timer ??= setInterval(() => this.packet(), 1000 / this.rate_Hz);
  }

  off(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
  }

  packet(): void {
    const counts = 1790 + (this.#sent++ % 10);
    const volts = { quantity: "voltage", coupling: "dc", prefix: "", decimals: 2 } as const;
    this.send(encodeSegment14({ ...volts, counts, flags: ["auto"] }));
  }
}

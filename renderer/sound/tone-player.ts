import { TONES } from "./tones.js";
import type { Note, ToneName } from "./tones.js";

/** Ramps this long keep a tone from clicking. */
const RAMP_S = 0.008;

/** Plays tones through Web Audio. A browser keeps it silent until somebody has touched the page. */
export class TonePlayer {
  #context: AudioContext | null = null;

  /** Whether tones can be heard now; false where the browser still waits for a touch. */
  get awake(): boolean {
    return this.#context?.state === "running";
  }

  /** To be called while a key, a click or a touch is being handled. */
  async wake(): Promise<void> {
    this.#context ??= new AudioContext();
    if (this.#context.state === "suspended") await this.#context.resume();
  }

  play(name: ToneName, volume: number): void {
    const context = this.#context;
    if (context?.state !== "running" || volume === 0) return;
    for (const note of TONES[name]) sound(context, note, volume);
  }
}

function sound(context: AudioContext, note: Note, volume: number): void {
  const start = context.currentTime + note.at_s;
  const end = start + note.for_s;
  const oscillator = context.createOscillator();
  oscillator.type = "triangle";
  oscillator.frequency.setValueAtTime(note.from_hz, start);
  oscillator.frequency.linearRampToValueAtTime(note.to_hz, end);
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, start);
  gain.gain.linearRampToValueAtTime(volume * 0.5, start + RAMP_S);
  gain.gain.setValueAtTime(volume * 0.5, end - RAMP_S);
  gain.gain.linearRampToValueAtTime(0, end);
  oscillator.connect(gain).connect(context.destination);
  oscillator.start(start);
  oscillator.stop(end);
}

import { spawn, spawnSync } from "node:child_process";
import type { ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const RATE_HZ = 16_000;
/** Windows of 20 ms: a tone of 60 ms fills at least two, and 659 Hz is told from 988 Hz. */
const WINDOW = RATE_HZ / 50;
/** Below this, of 32768, nobody hears it. */
const AUDIBLE = 300;

/** What one needs to hear a browser on a machine without loudspeakers, with its Debian package. */
const PROGRAMS: readonly (readonly [program: string, debian: string])[] = [
  ["pulseaudio", "pulseaudio"],
  ["parec", "pulseaudio-utils"],
  ["speech-dispatcher", "speech-dispatcher speech-dispatcher-espeak-ng"],
];

/** Which packages are missing here; empty where everything is. */
export function missingForEars(): string[] {
  return PROGRAMS.filter(
    ([program]) => spawnSync("sh", ["-c", `command -v ${program}`]).status !== 0,
  ).map(([, debian]) => debian);
}

/**
 * A sound server with one loudspeaker that nobody hears, and an ear on it. `env` leads a browser
 * there, and its speech server too.
 */
export class Ears {
  readonly env: Record<string, string>;
  readonly #home = mkdtempSync(join(tmpdir(), "leadhand-ears-"));
  readonly #server: ChildProcess;
  #ear: ChildProcess | null = null;
  /** Peak and pitch of each window. */
  #heard: number[] = [];
  #pitches: number[] = [];
  #rest: Buffer = Buffer.alloc(0);
  readonly #waiting = new Set<() => void>();

  constructor() {
    this.env = { HOME: this.#home, XDG_RUNTIME_DIR: this.#home };
    const socket = join(this.#home, "sound");
    this.env["PULSE_SERVER"] = `unix:${socket}`;
    this.#server = spawn(
      "pulseaudio",
      [
        ...["-n", "--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1"],
        ...["-L", "module-null-sink sink_name=room"],
        ...["-L", `module-native-protocol-unix auth-anonymous=1 socket=${socket}`],
      ],
      { env: { ...process.env, ...this.env }, stdio: "ignore" },
    );
  }

  /** Starts to listen; resolves when the first samples, silent ones, have come. */
  async open(): Promise<void> {
    // The server says nothing when its socket is there: a client is tried until one gets in.
    for (;;) {
      if (this.#server.exitCode !== null) throw new Error("the sound server did not start");
      if (await this.#listen()) return;
    }
  }

  /** Forgets what was heard so far. */
  forget(): void {
    this.#heard = [];
    this.#pitches = [];
  }

  /** Resolves when a tone of this pitch has filled two windows. */
  async tone(hz: number): Promise<void> {
    await this.#until(() => count(this.#pitches, (pitch) => Math.abs(pitch - hz) < hz * 0.03) >= 2);
  }

  /** Resolves when something has sounded for this long in all. */
  async sound(seconds: number): Promise<void> {
    await this.#until(() => count(this.#heard, (peak) => peak > AUDIBLE) * 0.02 >= seconds);
  }

  close(): void {
    this.#ear?.kill();
    this.#server.kill();
    spawnSync("pkill", ["-f", `speech-dispatcher.*${this.#home}`]);
    rmSync(this.#home, { recursive: true, force: true, maxRetries: 3 });
  }

  #listen(): Promise<boolean> {
    const ear = spawn(
      "parec",
      ["-d", "room.monitor", "--raw", "--format=s16le", "--channels=1", `--rate=${RATE_HZ}`],
      { env: { ...process.env, ...this.env }, stdio: ["ignore", "pipe", "ignore"] },
    );
    this.#ear = ear;
    ear.stdout.on("data", (chunk: Buffer) => this.#hear(chunk));
    return new Promise((resolve) => {
      ear.stdout.once("data", () => resolve(true));
      ear.once("exit", () => resolve(false));
    });
  }

  #hear(chunk: Buffer): void {
    let samples = Buffer.concat([this.#rest, chunk]);
    while (samples.length >= WINDOW * 2) {
      const window = Array.from({ length: WINDOW }, (_, i) => samples.readInt16LE(i * 2));
      this.#heard.push(Math.max(...window.map(Math.abs)));
      this.#pitches.push(pitchOf(window));
      samples = samples.subarray(WINDOW * 2);
    }
    this.#rest = samples;
    for (const look of this.#waiting) look();
  }

  #until(condition: () => boolean): Promise<void> {
    return new Promise((resolve) => {
      const look = (): void => {
        if (!condition()) return;
        this.#waiting.delete(look);
        resolve();
      };
      this.#waiting.add(look);
      look();
    });
  }
}

/** Pitch by rising zero crossings, interpolated: exact enough for one pure tone, 0 for silence. */
function pitchOf(window: readonly number[]): number {
  if (Math.max(...window) < AUDIBLE) return 0;
  const rising: number[] = [];
  window.forEach((now, i) => {
    const before = window[i - 1] ?? now;
    if (before < 0 && now >= 0) rising.push(i - now / (now - before));
  });
  const [first, last] = [rising[0], rising.at(-1)];
  if (first === undefined || last === undefined || rising.length < 3) return 0;
  return ((rising.length - 1) / (last - first)) * RATE_HZ;
}

function count(values: readonly number[], holds: (value: number) => boolean): number {
  return values.filter(holds).length;
}

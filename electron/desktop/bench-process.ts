import type { BrowserWindow, UtilityProcess } from "electron";
import type { ElectronApi } from "./api.js";

/** How long to wait before a bench process that ended is started again. */
const RESTART_MS = [0, 500, 2000, 5000];

/**
 * The bench process as the shell sees it: started as a utility process, joined to each window by
 * a message port of its own, started again if it ends. No byte of a meter passes through here.
 */
export class BenchProcess {
  #process: UtilityProcess | null = null;
  #ended = false;
  #restarts = 0;
  readonly #windows = new Set<BrowserWindow>();

  constructor(
    private readonly api: Pick<ElectronApi, "MessageChannelMain" | "utilityProcess">,
    private readonly entry: string,
    private readonly args: readonly string[],
    private readonly after: (delay_ms: number, fn: () => void) => void,
  ) {}

  start(): void {
    const child = this.api.utilityProcess.fork(this.entry, [...this.args], {
      serviceName: "leadhand bench",
      stdio: "inherit",
    });
    this.#process = child;
    for (const window of this.#windows) this.#join(window);
    child.once("exit", () => {
      this.#process = null;
      for (const window of this.#windows) window.webContents.postMessage("bench-gone", null);
      if (!this.#ended) this.#restart();
    });
  }

  /** Gives the window its port as soon as its page has loaded, and again after each reload. */
  attach(window: BrowserWindow): void {
    this.#windows.add(window);
    window.once("closed", () => this.#windows.delete(window));
    window.webContents.on("did-finish-load", () => {
      this.#join(window);
    });
  }

  /** Suspend and resume of the computer: the bench marks the step and looks at the meter again. */
  tell(message: "suspend" | "resume"): void {
    this.#process?.postMessage(message);
  }

  stop(): void {
    this.#ended = true;
    this.#process?.kill();
  }

  #join(window: BrowserWindow): void {
    if (!this.#process || window.isDestroyed()) return;
    const { port1, port2 } = new this.api.MessageChannelMain();
    this.#process.postMessage("window", [port1]);
    window.webContents.postMessage("bench-port", null, [port2]);
  }

  #restart(): void {
    const delay_ms = RESTART_MS[Math.min(this.#restarts, RESTART_MS.length - 1)] ?? 0;
    this.#restarts += 1;
    this.after(delay_ms, () => {
      if (!this.#ended) this.start();
    });
  }
}

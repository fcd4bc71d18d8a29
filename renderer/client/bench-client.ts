import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { BenchEvent, ErrorReport } from "../../workbench/contract/events.js";

/** How the window stands with the bench process. */
export type LinkState = "connecting" | "open" | "lost";

/** The one way from the window to the bench, whatever carries it. */
export interface BenchClient {
  /** Rejects with a `BenchFault` when the bench refuses, is gone or answers nonsense. */
  call<N extends CallName>(name: N, params: CallParams<N>): Promise<CallResult<N>>;
  close(): void;
}

export interface BenchListener {
  onEvent(event: BenchEvent): void;
  onLink(state: LinkState): void;
  /** Something came in that the contract does not know. */
  onTrouble(error: ErrorReport): void;
}

export interface Scheduler {
  after(delay_ms: number, run: () => void): () => void;
}

export const browserScheduler: Scheduler = {
  after(delay_ms, run) {
    const timer = setTimeout(run, delay_ms);
    return () => clearTimeout(timer);
  },
};

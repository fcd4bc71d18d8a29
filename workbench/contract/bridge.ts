import type { BenchEvent } from "./events.js";
import type { CallName, CallParams, Reply } from "./calls.js";

/**
 * What the preload script of the desktop app puts at `window.leadhand`. A failed call resolves to
 * a reply that is not ok: a thrown error would lose its code on the way between the two worlds.
 */
export interface Bridge {
  call<N extends CallName>(name: N, params: CallParams<N>): Promise<Reply>;
  /** Events from the first on: what came before the window listened is handed over at once. */
  onEvent(listener: (event: BenchEvent) => void): () => void;
}

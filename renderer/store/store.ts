import { useSyncExternalStore } from "react";
import type { BenchEvent, ErrorReport } from "../../workbench/contract/events.js";
import type { LinkState } from "../client/bench-client.js";
import { reduce } from "./reduce.js";
import { emptyState } from "./state.js";
import type { BenchState } from "./state.js";

export interface Store {
  readonly get: () => BenchState;
  readonly subscribe: (listener: () => void) => () => void;
  readonly apply: (event: BenchEvent) => void;
  readonly link: (state: LinkState) => void;
  readonly trouble: (error: ErrorReport) => void;
  readonly dismissTrouble: (index: number) => void;
  readonly goToDesk: () => void;
}

/** One store a window. `now_ms` is monotonic. */
export function createStore(now_ms: () => number): Store {
  let state = emptyState(now_ms());
  const listeners = new Set<() => void>();
  const set = (next: BenchState): void => {
    state = next;
    for (const listener of listeners) listener();
  };
  return {
    get: () => state,
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    apply: (event) => set(reduce(state, event, now_ms())),
    link: (next) => set({ ...state, link: { state: next, since_ms: now_ms() } }),
    trouble: (error) => set({ ...state, troubles: [...state.troubles, error] }),
    goToDesk: () => set({ ...state, atDesk: true }),
    dismissTrouble(index) {
      set({ ...state, troubles: state.troubles.filter((_, at) => at !== index) });
    },
  };
}

/**
 * Subscribes a component to one slice: it renders again only when `select` returns another
 * identity, so that a reading renders the reading and nothing else. `select` must not build.
 */
export function useSlice<T>(store: Store, select: (state: BenchState) => T): T {
  return useSyncExternalStore(store.subscribe, () => select(store.get()));
}

import { createContext, useContext } from "react";
import type { Announcer } from "../sound/announcer.js";
import type { BenchClient } from "../client/bench-client.js";
import { useSlice } from "./store.js";
import type { Store } from "./store.js";
import type { BenchState } from "./state.js";

export interface Bench {
  readonly store: Store;
  readonly client: BenchClient;
  readonly announcer: Announcer;
}

export const BenchContext = createContext<Bench | null>(null);

export function useBench(): Bench {
  const bench = useContext(BenchContext);
  if (bench === null) throw new Error("No bench around this component.");
  return bench;
}

/** One slice of what the window knows; see `useSlice`. */
export function useBenchSlice<T>(select: (state: BenchState) => T): T {
  return useSlice(useBench().store, select);
}

/** The calls that the bench answers; before it has said so, none. */
export function useCan(call: string): boolean {
  return useBenchSlice((state) => state.calls?.includes(call) ?? false);
}

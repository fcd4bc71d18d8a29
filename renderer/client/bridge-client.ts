import type { Bridge } from "../../workbench/contract/bridge.js";
import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { BenchClient, BenchListener } from "./bench-client.js";
import { BenchFault, benchGone } from "./fault.js";
import { readReply, receiveEvent } from "./incoming.js";

/** The bench through the preload script of the desktop app. The shell brings it back when it ends. */
export class BridgeClient implements BenchClient {
  readonly #bridge: Bridge;
  readonly #stop: () => void;
  #there = true;

  constructor(bridge: Bridge, listener: BenchListener) {
    this.#bridge = bridge;
    listener.onLink("open");
    this.#stop = bridge.onEvent((event: unknown) => {
      receiveEvent(event, {
        ...listener,
        onTrouble: (error) => listener.onTrouble(error),
        onLink: (state) => listener.onLink(state),
        onEvent: (known) => {
          if (known.type === "bench") {
            this.#there = known.state === "there";
            listener.onLink(this.#there ? "open" : "lost");
          } else listener.onEvent(known);
        },
      });
    });
  }

  async call<N extends CallName>(name: N, params: CallParams<N>): Promise<CallResult<N>> {
    if (!this.#there) throw new BenchFault(benchGone);
    return readReply(name, await this.#bridge.call(name, params));
  }

  close(): void {
    this.#stop();
  }
}

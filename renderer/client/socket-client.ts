import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { BenchClient, BenchListener, Scheduler } from "./bench-client.js";
import { BenchFault, benchGone } from "./fault.js";
import { readReply, receiveEvent } from "./incoming.js";

export interface SocketOptions {
  readonly url: string;
  readonly scheduler: Scheduler;
  readonly open: (url: string) => WebSocket;
}

interface Waiting {
  readonly settle: (message: unknown) => void;
  readonly fail: (fault: BenchFault) => void;
}

/** First wait after a lost connection; it doubles up to the longest. */
const FIRST_RETRY_MS = 250;
const LONGEST_RETRY_MS = 4000;

/** The bench over a WebSocket on loopback. Reconnects until closed. */
export class SocketClient implements BenchClient {
  readonly #options: SocketOptions;
  readonly #listener: BenchListener;
  readonly #waiting = new Map<number, Waiting>();
  #socket: WebSocket | null = null;
  #cancelRetry: (() => void) | null = null;
  #retry_ms = FIRST_RETRY_MS;
  #nextId = 0;
  #closed = false;

  constructor(options: SocketOptions, listener: BenchListener) {
    this.#options = options;
    this.#listener = listener;
    listener.onLink("connecting");
    this.#connect();
  }

  call<N extends CallName>(name: N, params: CallParams<N>): Promise<CallResult<N>> {
    const socket = this.#socket;
    if (socket?.readyState !== WebSocket.OPEN) return Promise.reject(new BenchFault(benchGone));
    const id = this.#nextId++;
    return new Promise((resolve, reject) => {
      const settle = (message: unknown): void => {
        try {
          resolve(readReply(name, message));
        } catch (thrown) {
          reject(thrown instanceof Error ? thrown : new Error(String(thrown)));
        }
      };
      this.#waiting.set(id, { settle, fail: reject });
      socket.send(JSON.stringify({ id, call: name, params }));
    });
  }

  close(): void {
    this.#closed = true;
    this.#cancelRetry?.();
    this.#socket?.close();
  }

  #connect(): void {
    const socket = this.#options.open(this.#options.url);
    this.#socket = socket;
    socket.addEventListener("open", () => {
      this.#retry_ms = FIRST_RETRY_MS;
      this.#listener.onLink("open");
    });
    socket.addEventListener("message", (event) => this.#receive(String(event.data)));
    socket.addEventListener("close", () => this.#lose());
  }

  #receive(text: string): void {
    let message: unknown;
    try {
      message = JSON.parse(text);
    } catch {
      message = null;
    }
    const id = replyId(message);
    if (id === null) {
      receiveEvent(message, this.#listener);
      return;
    }
    this.#waiting.get(id)?.settle(message);
    this.#waiting.delete(id);
  }

  #lose(): void {
    for (const waiting of this.#waiting.values()) waiting.fail(new BenchFault(benchGone));
    this.#waiting.clear();
    if (this.#closed) return;
    this.#listener.onLink("lost");
    this.#cancelRetry = this.#options.scheduler.after(this.#retry_ms, () => this.#connect());
    this.#retry_ms = Math.min(this.#retry_ms * 2, LONGEST_RETRY_MS);
  }
}

function replyId(message: unknown): number | null {
  if (typeof message !== "object" || message === null || !("ok" in message)) return null;
  return "id" in message && typeof message.id === "number" ? message.id : null;
}

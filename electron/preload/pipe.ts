import type { Reply, Request } from "../../workbench/contract/calls.js";
import type { BenchEvent } from "../../workbench/contract/events.js";

/** The little of a message port that the pipe needs. */
export type Port = Pick<MessagePort, "onmessage" | "postMessage" | "close">;

type Listener = (event: BenchEvent) => void;

/** Requests and events over whichever port leads to the bench process at the moment. */
export class BenchPipe {
  #port: Port | null = null;
  #nextId = 0;
  readonly #pending = new Map<number, (reply: Reply) => void>();
  /** Asked before there was a port. */
  readonly #unsent: Request[] = [];
  readonly #listeners = new Set<Listener>();
  /** What came before anybody listened. */
  #early: BenchEvent[] = [];

  connect(port: Port): void {
    this.#port?.close();
    this.#port = port;
    port.onmessage = ({ data }: MessageEvent<unknown>) => {
      this.#receive(data);
    };
    this.#emit({ type: "bench", state: "there" });
    for (const request of this.#unsent.splice(0)) port.postMessage(request);
  }

  /** The bench process ended: whatever was asked of it will not be answered. */
  disconnect(): void {
    this.#port?.close();
    this.#port = null;
    this.#emit({ type: "bench", state: "gone" });
    for (const [id, settle] of this.#pending) {
      if (!this.#unsent.some((request) => request.id === id)) settle(gone(id));
    }
  }

  call(call: Request["call"], params: unknown): Promise<Reply> {
    const request = { id: this.#nextId++, call, params };
    return new Promise((resolve) => {
      this.#pending.set(request.id, (reply) => {
        this.#pending.delete(request.id);
        resolve(reply);
      });
      if (this.#port) this.#port.postMessage(request);
      else this.#unsent.push(request);
    });
  }

  onEvent(listener: Listener): () => void {
    this.#listeners.add(listener);
    for (const event of this.#early.splice(0)) listener(event);
    return () => this.#listeners.delete(listener);
  }

  #receive(data: unknown): void {
    const reply = data as Reply | BenchEvent;
    if ("type" in reply) this.#emit(reply);
    else this.#pending.get(reply.id)?.(reply);
  }

  #emit(event: BenchEvent): void {
    if (this.#listeners.size === 0) this.#early.push(event);
    for (const listener of this.#listeners) listener(event);
  }
}

function gone(id: number): Reply {
  return {
    id,
    ok: false,
    error: {
      code: "desktop/bench-gone",
      what: "The bench process ended before it answered.",
      action: "Wait until it is back, which takes a few seconds, and ask again.",
    },
  };
}

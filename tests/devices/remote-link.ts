import type { Clock } from "../../drivers/clock.js";
import type { Closed, Link } from "../../drivers/link.js";
import { LeadhandError } from "../../protocols/error.js";
import type { ErrorCode } from "../../protocols/error.js";
import type { LineSettings } from "../../protocols/protocol.js";
import { rig } from "./rig.js";
import type { GuestJob } from "./guest-job.js";

interface PlainError {
  readonly code?: string;
  readonly what?: string;
  readonly action?: string;
}

/** Links of the built program in the guest, as if they were here. */
export class RemoteLinks {
  readonly #job: GuestJob;
  readonly #links = new Map<number, RemoteLink>();
  readonly #waiting = new Map<number, (line: Readonly<Record<string, unknown>>) => void>();
  #id = 0;
  #now_ns = 0n;

  /** The guest's, as it was last told. */
  readonly clock: Clock = {
    now_ns: () => this.#now_ns,
    after: () => () => undefined,
  };

  constructor(environment = "") {
    this.#job = rig.launch(`${environment} exec node /app/tests/devices/guest/links.mjs`);
    this.#job.onLine = (line) => this.#hear(line);
  }

  make(address: string, line: LineSettings): Link {
    const id = ++this.#id;
    const link = new RemoteLink((call, rest) => this.#call(call, { link: id, ...rest }));
    this.#links.set(id, link);
    void this.#call("make", { link: id, address, line });
    return link;
  }

  close(): void {
    this.#job.close();
  }

  async #call(call: string, rest: object): Promise<void> {
    const id = ++this.#id;
    const answered = new Promise<Readonly<Record<string, unknown>>>((resolve) =>
      this.#waiting.set(id, resolve),
    );
    this.#job.send(JSON.stringify({ id, call, ...rest }));
    const answer = await answered;
    if (answer["now_ns"] !== undefined) this.#now_ns = BigInt(answer["now_ns"] as string);
    if (answer["ok"] !== true) throw errorFrom(answer["error"] as PlainError);
  }

  #hear(line: Readonly<Record<string, unknown>>): void {
    if (typeof line["id"] === "number") {
      this.#waiting.get(line["id"])?.(line);
      this.#waiting.delete(line["id"]);
      return;
    }
    const link = this.#links.get(line["link"] as number);
    if (typeof line["chunk"] === "string") {
      const bytes = Uint8Array.from(Buffer.from(line["chunk"], "hex"));
      link?.onChunk({ bytes, arrival_ns: BigInt(line["arrival_ns"] as string) });
    }
    const closed = line["closed"] as { by: Closed["by"]; error?: PlainError } | undefined;
    if (closed === undefined) return;
    const error = closed.error === undefined ? {} : { error: errorFrom(closed.error) };
    link?.onClosed({ by: closed.by, ...error });
  }
}

class RemoteLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;

  constructor(private readonly call: (call: string, rest: object) => Promise<void>) {}

  open(): Promise<void> {
    return this.call("open", {});
  }

  write(bytes: Uint8Array): Promise<void> {
    return this.call("write", { hex: Buffer.from(bytes).toString("hex") });
  }

  close(): Promise<void> {
    return this.call("close", {});
  }
}

/** All that came out of a link. */
interface Heard {
  readonly link: Link;
  readonly chunks: Uint8Array[];
  readonly closings: Closed[];
}

export function listen(link: Link): Heard {
  const heard: Heard = { link, chunks: [], closings: [] };
  link.onChunk = ({ bytes }) => void heard.chunks.push(bytes);
  link.onClosed = (closed) => void heard.closings.push(closed);
  return heard;
}

/** One that is not the program's own comes back as the defect that it is. */
function errorFrom({ code, what = "", action = "" }: PlainError): LeadhandError {
  return new LeadhandError((code ?? "internal/unexpected") as ErrorCode, { what, action });
}

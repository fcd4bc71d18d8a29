import type { Clock } from "../clock.js";
import type { Link } from "../link.js";

const LOOK_MS = 100;

export interface Listening {
  readonly limit_ms: number;
  /** Sent once the link is open. */
  readonly ask?: Uint8Array;
  /** True ends the listening early. */
  readonly enough: (bytes: Uint8Array) => boolean;
}

/** What comes out of a fresh link in some time; the link is closed afterwards. */
export async function listen(
  link: Link,
  clock: Clock,
  { limit_ms, ask, enough }: Listening,
): Promise<Uint8Array> {
  const bytes: number[] = [];
  const closed = { yet: false };
  link.onChunk = (chunk) => void bytes.push(...chunk.bytes);
  link.onClosed = () => (closed.yet = true);
  await link.open();
  try {
    if (ask !== undefined) await link.write(ask);
    for (let waited_ms = 0; waited_ms < limit_ms && !closed.yet; waited_ms += LOOK_MS) {
      await new Promise<void>((resolve) => clock.after(LOOK_MS, resolve));
      if (enough(Uint8Array.from(bytes))) break;
    }
  } finally {
    await link.close();
  }
  return Uint8Array.from(bytes);
}

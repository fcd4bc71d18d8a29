import { calls, replySchema } from "../../workbench/contract/calls.js";
import type { CallName, CallResult } from "../../workbench/contract/calls.js";
import { eventSchema } from "../../workbench/contract/events.js";
import type { BenchListener } from "./bench-client.js";
import { BenchFault } from "./fault.js";

/** Checks an event against the contract and hands it on; what does not fit is said, not swallowed. */
export function receiveEvent(message: unknown, listener: BenchListener): void {
  const parsed = eventSchema.safeParse(message);
  if (parsed.success) {
    listener.onEvent(parsed.data);
    return;
  }
  const issue = parsed.error.issues[0];
  const place = issue === undefined ? "" : ` at ${issue.path.join(".") || "the top"}`;
  listener.onTrouble({
    code: "desktop/message-unknown",
    what: `The bench sent something that this window does not understand${place}.`,
    action: "Build bench and window from the same version, then start again.",
  });
}

/** The result of a reply, or the fault that it tells. */
export function readReply<N extends CallName>(name: N, message: unknown): CallResult<N> {
  const reply = replySchema.parse(message);
  if (!reply.ok) throw new BenchFault(reply.error);
  const result = calls[name].result.safeParse(reply.result);
  if (result.success) return result.data as CallResult<N>;
  throw new BenchFault({
    code: "desktop/message-unknown",
    what: `The bench answered ${name} with something that this window does not understand.`,
    action: "Build bench and window from the same version, then start again.",
  });
}

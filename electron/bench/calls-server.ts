import { calls, requestSchema } from "../../workbench/contract/calls.js";
import type { CallName, Reply } from "../../workbench/contract/calls.js";
import { LeadhandError, toLeadhandError } from "../../protocols/error.js";
import type { z } from "zod";

/**
 * One handler a call; parameters arrive checked, results leave checked. A call without one is
 * refused, and the window, which is told the calls that have one, shows no control for it.
 */
export type Handlers = {
  readonly [N in CallName]?: (
    params: z.output<(typeof calls)[N]["params"]>,
  ) => Promise<z.input<(typeof calls)[N]["result"]>> | z.input<(typeof calls)[N]["result"]>;
};

/** Answers a request envelope from outside: nothing in it is believed before it is checked. */
export async function answerCall(handlers: Handlers, envelope: unknown): Promise<Reply> {
  const request = requestSchema.safeParse(envelope);
  if (!request.success) return refusal(idOf(envelope), unreadable("request", request.error));
  const { id, call, params } = request.data;
  const checked = calls[call].params.safeParse(params);
  if (!checked.success) return refusal(id, unreadable(`${call} request`, checked.error));
  try {
    // The table pairs each handler with its own schema; the compiler cannot follow that by name.
    const handler = handlers[call] as ((params: unknown) => unknown) | undefined;
    if (handler === undefined) return refusal(id, unanswered(call));
    return { id, ok: true, result: calls[call].result.parse(await handler(checked.data)) };
  } catch (thrown) {
    return refusal(id, toLeadhandError(thrown));
  }
}

function unanswered(call: string): LeadhandError {
  return new LeadhandError("usage/no-such-call", {
    what: `This bench cannot do what was asked (${call}).`,
    action: "Start the bench and the window from the same version.",
  });
}

function unreadable(what: string, error: z.ZodError): LeadhandError {
  const first = error.issues[0];
  const where = first && first.path.length > 0 ? ` at ${first.path.join(".")}` : "";
  return new LeadhandError("input/bad-request", {
    what: `The ${what} could not be understood${where}: ${first?.message ?? "unknown reason"}.`,
    action: "Reload the window; if it happens again, report it with this text.",
  });
}

function refusal(id: number, { code, what, action }: LeadhandError): Reply {
  return { id, ok: false, error: { code, what, action } };
}

function idOf(envelope: unknown): number {
  const id = (envelope as { id?: unknown } | null)?.id;
  return typeof id === "number" && Number.isSafeInteger(id) ? id : -1;
}

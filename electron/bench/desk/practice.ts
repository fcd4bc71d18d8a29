import { PRACTICE_KINDS } from "../../../drivers/practice/kinds.js";
import type { Handlers } from "../calls-server.js";
import { practiceAddress } from "../options.js";

/** What can be practised, each choice with the meter address that makes it so. */
export const practiceHandlers = {
  listPractice: () =>
    PRACTICE_KINDS.map(({ kind, title, faults }) => ({
      kind,
      title,
      choices: [
        choice(kind, ["any"], "A hidden fault, or none", "Nobody tells you which"),
        choice(kind, [], "A healthy tool", "Every step should pass"),
        ...faults.map(({ id, label, does }) => choice(kind, [id], label, does)),
      ],
    })),
} satisfies Handlers;

function choice(kind: string, faults: readonly string[], title: string, note: string) {
  return { address: practiceAddress(kind, faults, undefined), title, note };
}

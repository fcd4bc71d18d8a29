import type { Clock } from "../../drivers/clock.js";
import { parseAddress } from "../../drivers/address.js";
import type { MeterAddress } from "../../drivers/address.js";
import type { LinkKind } from "../../drivers/link-kind.js";
import { createPracticeBench } from "../../drivers/practice/bench.js";
import type { HandRequest, PracticeBench } from "../../drivers/practice/bench.js";
import { practiceKind } from "../../drivers/practice/kinds.js";
import { LeadhandError } from "../../protocols/error.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { PracticeHandEar } from "./engine-types.js";
import { PracticeFreeHand } from "./practice-free-hand.js";
import { PracticeHand } from "./practice-hand.js";

export interface Practice {
  readonly bench: PracticeBench;
  readonly link: LinkKind;
  readonly hand: PracticeHandEar;
}

const OPTIONS = ["fault", "seed", "pace", "rate", "channel"] as const;

/**
 * The practice bench that the meter addresses name, joined to a hand that follows the plan; null
 * where no address is `practice:`. Throws `usage/…` for an unknown kind, fault or option.
 */
export function composePractice(
  addresses: readonly string[],
  plan: Plan,
  clock: Clock,
  idle: () => Promise<void>,
): Practice | null {
  const first = addresses.map(parseAddress).find(({ scheme }) => scheme === "practice");
  if (!first) return null;
  const bench = benchOf(first, clock, idle);
  const follow = (request: HandRequest): void => bench.follow(request);
  const { points } = practiceKind(first.target);
  const hand = new PracticeHand(
    plan,
    follow,
    (step) => bench.answer(step),
    new PracticeFreeHand(points, follow),
  );
  return {
    bench,
    link: linkKind(bench),
    hand,
  };
}

function benchOf(address: MeterAddress, clock: Clock, idle: () => Promise<void>): PracticeBench {
  const kind = address.target;
  const seed = numberOption(address, "seed") ?? Number(clock.now_ns() % 1_000_000n);
  const rate_Hz = numberOption(address, "rate");
  return createPracticeBench({
    kind,
    faults: chosenFaults(address.options.get("fault") ?? "", kind, seed),
    seed,
    pace: paceOf(address),
    clock,
    idle,
    protocol: address.options.get("protocol") ?? "segment-14",
    ...(rate_Hz === null ? {} : { rate_Hz }),
  });
}

/** "any" hides one fault that the seed decides, and now and then none: a trainee may not guess. */
function chosenFaults(text: string, kind: string, seed: number): string[] {
  if (text !== "any") return text.split(",").filter((id) => id !== "");
  const ids = practiceKind(kind).faults.map(({ id }) => id);
  const pick = ids[(seed * 7919) % (ids.length + 1)];
  return pick === undefined ? [] : [pick];
}

function paceOf(address: MeterAddress): "real-time" | "at-once" {
  const pace = address.options.get("pace") ?? "real-time";
  if (pace === "real-time" || pace === "at-once") return pace;
  throw new LeadhandError("usage/practice-pace", {
    what: `The practice bench has no pace "${pace}".`,
    action: "Choose pace=real-time or pace=at-once.",
  });
}

function numberOption(address: MeterAddress, name: string): number | null {
  const text = address.options.get(name);
  if (text === undefined) return null;
  const value = Number(text);
  if (Number.isFinite(value) && value >= 0) return value;
  throw new LeadhandError("usage/practice-option", {
    what: `The practice bench's ${name} "${text}" is not a number.`,
    action: `Give a number, such as ${name}=1.`,
  });
}

function linkKind(bench: PracticeBench): LinkKind {
  return {
    scheme: "practice",
    title: "practice bench: a simulated tool with hidden faults",
    options: OPTIONS,
    protocol: "segment-14",
    vanishes: false,
    load: () =>
      Promise.resolve(
        ({ options }) =>
          () =>
            bench.link(options.get("channel") === "b" ? "b" : "a"),
      ),
  };
}

import type { Access, BenchCondition, Probe, Sighting, ToolModel } from "../models/model.js";
import type { Measured, Observation } from "./observation.js";
import { conditionKey } from "../models/conditions.js";

/** What the person on the bench has said must not be done, from the plan's cautions. */
export interface Restrictions {
  /** Swollen, punctured, wet or deeply discharged pack: not loaded, not charged, not measured. */
  readonly damagedPack?: boolean | undefined;
  /** Nobody trained for mains work is at the bench. */
  readonly noMains?: boolean | undefined;
  /** The tool must not be powered at all. */
  readonly noPower?: boolean | undefined;
  /** No charger is to be plugged in. */
  readonly noCharging?: boolean | undefined;
  /** The motor is not to be fed directly: nothing has taken it off its switch. */
  readonly noDirectFeed?: boolean | undefined;
}

/** Seconds of work; all of it common practice, no source. */
const COST_S = {
  measure: 12,
  setUp: 10,
  knownPack: 30,
  benchLoad: 20,
  charger: 15,
  open: 240,
  "motor-out": 600,
  /** A live, open tool that can start: weighed as if it took this much longer. */
  hazard: 30,
};

const DEPTH: Readonly<Record<Access, number>> = { closed: 0, open: 1, "motor-out": 2 };

function depth(access: Access): number {
  return DEPTH[access];
}

/** How deep the tool must be open for both points to be reached. */
function accessOf(model: ToolModel, { red, black }: Pick<Probe, "red" | "black">): Access {
  const accesses = model.points
    .filter((point) => point.id === red || point.id === black)
    .map((point) => point.access);
  return accesses.reduce((deepest, one) => (depth(one) > depth(deepest) ? one : deepest), "closed");
}

/** How deep the tool is open already, as far as the readings tell. */
export function openedSoFar(model: ToolModel, observations: readonly Observation[]): Access {
  return observations.reduce<Access>((deepest, one) => {
    const access = one.kind === "seen" ? accessOfLook(model, one.sighting) : reachedFor(model, one);
    return depth(access) > depth(deepest) ? access : deepest;
  }, "closed");
}

function reachedFor(model: ToolModel, reading: Measured): Access {
  const reached = accessOf(model, reading);
  const told = reading.condition.case;
  return depth(told) > depth(reached) ? told : reached;
}

function accessOfLook({ sightings }: ToolModel, id: string): Access {
  return sightings.find((one) => one.id === id)?.access ?? "closed";
}

/** Whether ohms would be measured on something that a supply is connected to. */
export function isLive({ pack, charger, mains }: BenchCondition): boolean {
  return pack !== "out" || charger === "plugged" || mains === "plugged";
}

/** Whether a condition puts voltage on the tool. */
function isPowered(condition: BenchCondition): boolean {
  return ["in", "known-good", "in-with-lamp", "at-motor"].includes(condition.pack);
}

/** A pack that is not the one under suspicion. */
function isKnownGood({ pack }: BenchCondition): boolean {
  return pack === "known-good" || pack === "at-motor";
}

export function isForbidden(
  probe: Probe,
  condition: BenchCondition,
  opened: Access,
  restrictions: Restrictions,
): boolean {
  const powered = isPowered(condition);
  if (restrictions.noPower === true && powered) return true;
  if (restrictions.noMains === true && condition.mains === "plugged") return true;
  if (restrictions.noCharging === true && condition.charger === "plugged") return true;
  if (restrictions.noDirectFeed === true && condition.pack === "at-motor") return true;
  if (restrictions.damagedPack === true && !isKnownGood(condition)) {
    const onPack = [probe.red, probe.black].some((point) => point.startsWith("pack-"));
    if (onPack || condition.pack !== "out") return true;
  }
  // With the motor out nothing holds it: it is not powered on the bench.
  if (powered && opened === "motor-out") return true;
  // Ohms on a live path destroy the reading and perhaps the meter.
  return probe.quantity === "resistance" && isLive(condition);
}

function isChargeForbidden({ pack }: BenchCondition, restrictions: Restrictions): boolean {
  return restrictions.noCharging === true || (pack !== "out" && restrictions.damagedPack === true);
}

/** Looking at a running tool: not with its motor out, and on mains not with its case open. */
export function isLookForbidden(
  condition: BenchCondition,
  opened: Access,
  restrictions: Restrictions,
): boolean {
  const mains = condition.mains === "plugged";
  if (condition.charger === "plugged" && isChargeForbidden(condition, restrictions)) return true;
  if (!mains && !isPowered(condition)) return false;
  if (restrictions.noPower === true || opened === "motor-out") return true;
  if (restrictions.noDirectFeed === true && condition.pack === "at-motor") return true;
  if (mains) return restrictions.noMains === true || opened !== "closed";
  return restrictions.damagedPack === true && !isKnownGood(condition);
}

/** Seconds from the present state of the bench to this reading. */
export function probeCost_s(
  model: ToolModel,
  probe: Probe,
  condition: BenchCondition,
  opened: Access,
  last: BenchCondition | null,
): number {
  const access = accessOf(model, probe);
  let cost = COST_S.measure;
  if (last === null || conditionKey(last) !== conditionKey(condition)) cost += COST_S.setUp;
  if (isKnownGood(condition) && last?.pack !== condition.pack) cost += COST_S.knownPack;
  if (condition.charger === "plugged" && last?.charger !== "plugged") cost += COST_S.charger;
  if (condition.pack === "on-load" || condition.pack === "in-with-lamp") cost += COST_S.benchLoad;
  if (isPowered(condition) && depth(access) > 0) cost += COST_S.hazard;
  return cost + openingCost_s(access, opened);
}

/** Seconds from the present state of the bench to this look. */
export function lookCost_s({ access = "closed", cost_s }: Sighting, opened: Access): number {
  return cost_s + openingCost_s(access, opened);
}

function openingCost_s(access: Access, opened: Access): number {
  const open = depth(access) > 0 && opened === "closed" ? COST_S.open : 0;
  const out = access === "motor-out" && opened !== "motor-out" ? COST_S["motor-out"] : 0;
  return open + out;
}

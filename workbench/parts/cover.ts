import type { Access, ToolModel } from "../models/model.js";
import type { Item, PriceList } from "./price-list.js";

/** What an hour at the bench costs and how long opening up takes. */
export interface Labour {
  readonly perHour: number;
  /** Minutes to reach parts behind the first shell and behind the motor, and to close up again. */
  readonly open_min: number;
  readonly motorOut_min: number;
}

/** Common practice, no source. */
export const USUAL_LABOUR: Labour = { perHour: 48, open_min: 12, motorOut_min: 25 };

export interface Cover {
  readonly items: readonly Item[];
  readonly labour_min: number;
  readonly parts_cost: number;
  readonly labour_cost: number;
  readonly total: number;
}

const DEPTHS: readonly Access[] = ["closed", "open", "motor-out"];

/**
 * The cheapest items that together replace all wanted parts, labour included; null where the list
 * does not cover them. Exact: for each depth of opening, the cheapest cover of every subset.
 */
export function cheapestCover(
  model: ToolModel,
  { items }: PriceList,
  wanted: readonly string[],
  labour: Labour = USUAL_LABOUR,
): Cover | null {
  const covers = DEPTHS.flatMap((depth): Cover[] => {
    const reachable = items.filter((item) => depthOf(model, item.covers) <= DEPTHS.indexOf(depth));
    const chosen = coverAll(reachable, wanted, labour);
    return chosen === null ? [] : [costed(chosen, depth, labour)];
  });
  return covers.reduce<Cover | null>(
    (best, one) => (best === null || one.total < best.total ? one : best),
    null,
  );
}

function depthOf(model: ToolModel, parts: readonly string[]): number {
  const depths = model.parts
    .filter((part) => parts.includes(part.id))
    .map((part) => DEPTHS.indexOf(part.access));
  return Math.max(0, ...depths);
}

/** Cheapest choice for every subset of the wanted parts, growing item by item. */
function coverAll(
  items: readonly Item[],
  wanted: readonly string[],
  { perHour }: Labour,
): readonly Item[] | null {
  const full = 2 ** wanted.length - 1;
  const best = new Map<number, { cost: number; items: readonly Item[] }>([
    [0, { cost: 0, items: [] }],
  ]);
  for (const item of items) {
    const bits = wanted.reduce((sum, id, i) => (item.covers.includes(id) ? sum + 2 ** i : sum), 0);
    if (bits === 0) continue;
    const own = item.price + (item.fit_min / 60) * perHour;
    for (const [covered, { cost, items: chosen }] of [...best]) {
      const after = covered | bits;
      if (after === covered) continue;
      if (cost + own < (best.get(after)?.cost ?? Infinity)) {
        best.set(after, { cost: cost + own, items: [...chosen, item] });
      }
    }
  }
  return best.get(full)?.items ?? null;
}

function costed(items: readonly Item[], depth: Access, labour: Labour): Cover {
  const opening = { closed: 0, open: labour.open_min, "motor-out": labour.motorOut_min }[depth];
  const labour_min = items.reduce(
    (sum, item) => sum + item.fit_min,
    items.length > 0 ? opening : 0,
  );
  const parts_cost = cents(items.reduce((sum, item) => sum + item.price, 0));
  const labour_cost = cents((labour_min / 60) * labour.perHour);
  return { items, labour_min, parts_cost, labour_cost, total: cents(parts_cost + labour_cost) };
}

function cents(amount: number): number {
  return Math.round(amount * 100) / 100;
}

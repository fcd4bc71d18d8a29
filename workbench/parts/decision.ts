import type { Report } from "../diagnosis/report.js";
import type { ToolModel } from "../models/model.js";
import { USUAL_LABOUR, cheapestCover } from "./cover.js";
import type { Cover, Labour } from "./cover.js";
import type { PriceList } from "./price-list.js";

export interface Terms {
  /** Parts from this probability on are replaced. */
  readonly threshold: number;
  readonly labour: Labour;
  /** What a new tool costs; null where nobody said. */
  readonly newTool: number | null;
  /** Whether the warranty still runs; null where nobody said. */
  readonly underWarranty: boolean | null;
}

export const USUAL_TERMS: Terms = {
  threshold: 0.3,
  labour: USUAL_LABOUR,
  newTool: null,
  underWarranty: null,
};

/** Repair, replacement and warranty side by side, with what is assumed. */
export interface Decision {
  readonly currency: string;
  /** Parts to replace: suspects above the threshold. */
  readonly suspects: readonly string[];
  /** null: the price list does not cover the suspects. */
  readonly repair: Cover | null;
  /** Parts to replace that no item of the list replaces. */
  readonly uncovered: readonly string[];
  readonly replace: { readonly total: number } | null;
  readonly warranty: { readonly open: boolean; readonly words: string } | null;
  /** The cheaper of repair and replacement; null where one of them is not known. */
  readonly cheaper: "repair" | "replace" | null;
  readonly assumptions: readonly string[];
}

export function decide(
  model: ToolModel,
  report: Report,
  prices: PriceList,
  terms: Terms = USUAL_TERMS,
): Decision {
  const suspects = report.parts.filter(({ odds }) => odds >= terms.threshold).map((p) => p.part);
  const repair = cheapestCover(model, prices, suspects, terms.labour);
  const replace = terms.newTool === null ? null : { total: terms.newTool };
  return {
    currency: prices.currency,
    suspects,
    repair,
    uncovered: suspects.filter((id) => !prices.items.some(({ covers }) => covers.includes(id))),
    replace,
    warranty: warrantyOf(terms, report),
    cheaper:
      repair === null || replace === null
        ? null
        : repair.total <= replace.total
          ? "repair"
          : "replace",
    assumptions: assumptions(report, prices, terms),
  };
}

function warrantyOf({ underWarranty }: Terms, { settled }: Report): Decision["warranty"] {
  if (underWarranty === null) return null;
  if (!underWarranty) return { open: false, words: "The warranty has ended: repair is paid." };
  return {
    open: true,
    words: settled
      ? "Under warranty: claim it, the finding is settled."
      : "Under warranty: settle the finding before claiming.",
  };
}

function assumptions(report: Report, { currency }: PriceList, terms: Terms): string[] {
  const { perHour, open_min, motorOut_min } = terms.labour;
  return [
    `Parts from ${Math.round(terms.threshold * 100)} % odds on are replaced.`,
    `Labour ${perHour} ${currency} an hour; opening and closing ${open_min} min, with the motor out ${motorOut_min} min.`,
    "Prices are those of the imported list, without delivery and tax unless the list has them.",
    report.settled
      ? "The finding is settled."
      : `The finding is not settled: a further fault has ${Math.round(report.furtherFault * 100)} % odds.`,
  ];
}

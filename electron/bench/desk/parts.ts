import { join } from "node:path";
import { knownModel } from "../../../workbench/diagnosis/known-model.js";
import type { Report } from "../../../workbench/diagnosis/report.js";
import type { ToolModel } from "../../../workbench/models/model.js";
import { USUAL_LABOUR } from "../../../workbench/parts/cover.js";
import { decide } from "../../../workbench/parts/decision.js";
import type { Decision } from "../../../workbench/parts/decision.js";
import { demoPrices } from "../../../workbench/parts/demo-prices.js";
import { partsCsv } from "../../../workbench/parts/parts-csv.js";
import { readPriceList } from "../../../workbench/parts/price-list.js";
import type { PriceList } from "../../../workbench/parts/price-list.js";
import { jobFinding } from "../../run/job-report.js";
import type { Handlers } from "../calls-server.js";
import { keepInShop, readText, shopFolder } from "./shop-folder.js";

/** What a job's finding costs to put right, by the shop's own prices. */
export function partsHandlers(jobs: string) {
  return {
    jobParts: async ({ job, threshold, newTool, perHour }) => {
      const { file, model, report } = await jobFinding(join(jobs, job));
      const { kind } = file.plan.tool;
      if (model === null || report === null) return { kind, ...NOTHING };
      const prices = await pricesOf(jobs, model);
      const { warranty } = file.tool;
      const decision =
        prices === null
          ? null
          : decide(model, report, prices, {
              threshold,
              newTool,
              labour: { ...USUAL_LABOUR, perHour },
              underWarranty: warranty === "unknown" ? null : warranty === "warranty",
            });
      return {
        kind,
        finding: findingOf(report),
        prices: prices === null ? null : sizeOf(prices),
        decision: decision === null ? null : onTheWire(decision),
        partsList: decision === null ? null : { name: `parts-${job}.csv`, csv: partsCsv(decision) },
      };
    },
    importPrices: async ({ kind, csv }) => {
      const prices = readPriceList(csv, knownModel(kind));
      await keepInShop(jobs, "prices", kind, JSON.stringify({ csv }, null, 2));
      return sizeOf(prices);
    },
    demoPrices: ({ kind }) => ({
      name: `demo-prices-${kind}.csv`,
      csv: demoPrices(knownModel(kind)),
    }),
  } satisfies Handlers;
}

const NOTHING = { finding: null, prices: null, decision: null, partsList: null };

function findingOf({ settled, parts }: Report) {
  return {
    settled,
    parts: parts.map(({ part, label, state, odds }) => ({ id: part, label, state, odds })),
  };
}

function sizeOf({ currency, items }: PriceList) {
  return { currency, items: items.length };
}

/** The contract's lists may be changed by who gets them; ours may not. */
function onTheWire(decision: Decision) {
  const { repair } = decision;
  return {
    ...decision,
    suspects: [...decision.suspects],
    uncovered: [...decision.uncovered],
    assumptions: [...decision.assumptions],
    repair: repair && {
      ...repair,
      items: repair.items.map((item) => ({ ...item, covers: [...item.covers] })),
    },
  };
}

/** null where none was imported yet. A list that no longer fits the model is told, not ignored. */
async function pricesOf(jobs: string, model: ToolModel): Promise<PriceList | null> {
  const file = join(shopFolder(jobs, "prices"), `${model.kind}.json`);
  const text = await readText(file).catch(() => null);
  if (text === null) return null;
  const { csv } = JSON.parse(text) as { csv: string };
  return readPriceList(csv, model);
}

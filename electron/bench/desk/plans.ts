import { basename } from "node:path";
import { parseJson, readPlan } from "../../../workbench/plan/load.js";
import type { Problem } from "../../../workbench/plan/names.js";
import { LeadhandError, toLeadhandError } from "../../../protocols/error.js";
import { checkPlan, isRefused } from "../../../workbench/plan/check.js";
import { loadPlan } from "../../../workbench/plan/load.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";
import type { Handlers } from "../calls-server.js";
import { keepInShop, readText, shopFiles } from "./shop-folder.js";

/** How the text is named in messages: it has no file yet. */
const TEXT = "in the editor";

/** Plans: the bundled ones and the shop's own, which are files and are named by their path. */
export function planHandlers(jobs: string) {
  return {
    listPlans: async () => [
      ...bundledPlans().map((plan) => row(plan.id, plan)),
      ...(await own(jobs)),
    ],
    readPlan: async ({ plan }) => {
      const files = await shopFiles(jobs, "plans");
      if (files.includes(plan)) return { text: await readText(plan), own: true };
      return { text: JSON.stringify(bundledPlan(plan), null, 2), own: false };
    },
    checkPlan: ({ text }) => checked(text),
    savePlan: async ({ text, replaces }) => {
      const plan = loadPlan(text, TEXT);
      if (isRefused(checkPlan(plan))) throw refused(plan);
      await refuseTaken(jobs, plan.id, replaces);
      return { plan: await keepInShop(jobs, "plans", plan.id, `${text.trimEnd()}\n`) };
    },
  } satisfies Handlers;
}

/** A plan must not take the place of another one unseen. */
async function refuseTaken(jobs: string, id: string, replaces: string | null): Promise<void> {
  const there = (await shopFiles(jobs, "plans")).find((file) => basename(file) === `${id}.json`);
  const bundled = bundledPlans().some((plan) => plan.id === id);
  if (!bundled && (there === undefined || there === replaces)) return;
  throw new LeadhandError("plan/id-taken", {
    what: `There is another plan with the id "${id}"${bundled ? ", which came with the program" : ""}.`,
    action: "Give this one an id of its own; then both are kept.",
  });
}

/** A file that does not load any more is left out of the list, not of the folder. */
async function own(jobs: string) {
  const files = await shopFiles(jobs, "plans");
  const plans = await Promise.all(
    files.map(async (file) => {
      try {
        return [row(file, loadPlan(await readText(file), file))];
      } catch {
        return [];
      }
    }),
  );
  return plans.flat();
}

function row(id: string, { title, tool, steps }: Plan) {
  return { id, title, kind: tool.kind, steps: steps.length };
}

/** What is wrong with a text, everything at its place in the plan. */
function checked(text: string) {
  try {
    const { plan, problems } = readPlan(parseJson(text, TEXT));
    if (plan === null) return { plan: null, findings: problems.map(asFinding) };
    const findings = checkPlan(plan).map(({ level, code, path, what, action }) => ({
      level,
      code: `plan/${code}`,
      path,
      what,
      action,
    }));
    return { plan: { id: plan.id, title: plan.title, steps: plan.steps.length }, findings };
  } catch (thrown) {
    const { code, what, action } = toLeadhandError(thrown);
    return { plan: null, findings: [asFinding({ code, path: "", what, action })] };
  }
}

function asFinding({ code, path, what, action }: Omit<Problem, "code"> & { code: string }) {
  return { level: "error" as const, code, path, what, action };
}

function refused(plan: Plan): LeadhandError {
  return new LeadhandError("plan/refused", {
    what: `The plan ${plan.id} has an error that could hurt somebody or cannot work.`,
    action: "Correct what the checker lists as an error, then keep it again.",
  });
}

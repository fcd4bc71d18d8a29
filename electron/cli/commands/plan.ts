import { bundledPlans } from "../../../workbench/plans/bundled.js";
import { planFor } from "../../run/prepare.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

/** Lists the bundled plans, or prints one as JSON: where a plan of one's own begins. */
export const registerPlan: Register = (program, { io, done }) => {
  program
    .command("plan")
    .description("the bundled plans; with an id, that plan as JSON to start from")
    .argument("[id]", "id of a bundled plan")
    .action(async (id: string | undefined) => {
      if (id === undefined) for (const plan of bundledPlans()) io.out(`${plan.id}\t${plan.title}`);
      else io.out(JSON.stringify(await planFor(id), null, 2));
      done(EXIT.done);
    });
};

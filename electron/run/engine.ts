import { chooseMeter } from "../../drivers/links.js";
import { findProtocol, protocols } from "../../protocols/registry.js";
import { jobForRun } from "./engine-job.js";
import type { Engine, EngineSetup } from "./engine-types.js";
import { RunningEngine } from "./running-engine.js";

/**
 * Makes the job or opens it again, opens the meters, starts the plan or goes on with it. Rejects
 * with a `LeadhandError` for a bad address or a folder that cannot be used; afterwards whatever
 * goes wrong is an event.
 */
export async function startEngine(setup: EngineSetup): Promise<Engine> {
  const chosen = setup.meters.map((address) =>
    chooseMeter(address, {
      protocol: findProtocol,
      all: protocols.values(),
      links: setup.links,
    }),
  );
  const onTrouble: { report: ((error: unknown) => void) | null } = { report: null };
  const opened = await jobForRun(setup, chosen, (error) => {
    if (error) onTrouble.report?.(error);
  });
  const engine = new RunningEngine(setup, opened);
  onTrouble.report = (error) => {
    engine.trouble(error);
  };
  engine.start(chosen);
  return engine;
}

import { conclusionOf, PathReasoner } from "../diagnosis/path-reasoner.js";
import type { JobContent } from "../job/read-job.js";
import type { Conclusion } from "./report/model.js";

/**
 * What the readings say of the parts: as it was recorded, or else worked out from the recorded
 * results with the model of this kind of tool.
 */
export function conclusionFor({ lines, file }: JobContent): Conclusion {
  const events = lines.map(({ event }) => event);
  const recorded = events.findLast((event) => event.kind === "conclusion");
  if (recorded !== undefined)
    return { words: recorded.words, parts: recorded.parts, derived: false };
  const reasoner = new PathReasoner(file.plan, file.tool.data, file.experience);
  for (const event of events) if (event.kind === "step") reasoner.take(event.result);
  for (const event of events) if (event.kind === "probed") reasoner.recall(event);
  const path = reasoner.path();
  return { words: conclusionOf(path), parts: path.parts, derived: true };
}

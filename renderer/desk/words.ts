import type { CallResult } from "../../workbench/contract/calls.js";

type Row = CallResult<"listJobs">["jobs"][number];

/** Date and time of day as the computer's own language writes them. */
export function dateText(iso: string): string {
  const date = new Date(iso);
  return Number.isNaN(date.getTime())
    ? iso
    : date.toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
}

/** Make, model and serial number, as far as they are known. */
export function toolName({
  tool,
}: {
  readonly tool: Pick<Row["tool"], "make" | "model" | "serial">;
}): string {
  const words = [tool.make, tool.model, tool.serial].filter((word) => word !== "");
  return words.length === 0 ? "Tool without a name" : words.join(" ");
}

export function outcomeWords({ passed, failed, finished }: Row): string {
  const counts = `${failed} failed, ${passed} passed`;
  return finished ? counts : `${counts}, not run to its end`;
}

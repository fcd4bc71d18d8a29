import { LeadhandError } from "../../../protocols/error.js";
import { OUTCOMES, type JobFilter, type Outcome } from "../../../workbench/jobs/job-filter.js";
import type { JobRow } from "../../../workbench/jobs/job-row.js";
import { ShopIndex, type JobQuestions } from "../../../workbench/jobs/shop-index.js";
import { benchOptions } from "../../bench/options.js";
import { indexPlace } from "../../jobs/index-place.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";

interface Flags {
  readonly search: string;
  readonly outcome?: string;
  readonly archived?: true;
  readonly practice: string;
  readonly from?: string;
  readonly to?: string;
  readonly fails?: true;
  readonly resistance?: true;
  readonly jobs?: string;
  readonly json?: true;
}

export const registerJobs: Register = (program, { io, done }) => {
  program
    .command("jobs")
    .description("list jobs, or ask what they say together")
    .option("--search <words>", "words that all occur in tool, complaint, condition or plan", "")
    .option("--outcome <outcome>", `one of ${OUTCOMES.join(", ")}`)
    .option("--archived", "the archived ones instead")
    .option("--practice <which>", "practice jobs: too, only or none", "none")
    .option("--from <date>", "begun on this date or later, as 2026-03-02")
    .option("--to <date>", "begun on this date or before")
    .option("--fails", "instead: what fails most, by model")
    .option("--resistance", "instead: the resistance of packs over the years")
    .option("--jobs <folder>", "folder of the jobs, where it is not the usual one")
    .option("--json", "one JSON object a line")
    .action(async (flags: Flags) => {
      const index = new ShopIndex(indexPlace(jobsFolder(flags.jobs, io), io.env));
      try {
        await answer(index, flags, io);
      } finally {
        await index.close();
      }
      done(EXIT.done);
    });
};

/** The folder of all jobs: as given, or the usual one. */
export function jobsFolder(given: string | undefined, io: Io): string {
  return given ?? benchOptions([], io.env).jobs;
}

async function answer(index: JobQuestions, flags: Flags, io: Io): Promise<void> {
  if (flags.fails) await tellFailures(index, flags, io);
  else if (flags.resistance) await tellResistance(index, flags, io);
  else await tellJobs(index, flags, io);
}

async function tellJobs(index: JobQuestions, flags: Flags, io: Io): Promise<void> {
  const { rows, total, unreadable, warning } = await index.list(filterOf(flags));
  if (warning !== null) io.err(warning);
  for (const { folder, why } of unreadable) io.err(`${folder}: ${why}`);
  for (const row of rows) io.out(flags.json ? JSON.stringify(row) : rowWords(row));
  if (total > rows.length) io.err(`The newest ${rows.length} of ${total}.`);
}

function rowWords(row: JobRow): string {
  const tool = [row.make, row.model, row.serial].filter((word) => word !== "").join(" ");
  const counts = `${row.failed} failed, ${row.passed} passed`;
  const marks = [
    row.finished ? null : "not run to its end",
    row.practice ? "practice" : null,
    row.damaged ? "damaged" : null,
    row.bench === "" ? null : `on bench ${row.bench}`,
  ].filter((mark) => mark !== null);
  const start = row.startedAt.slice(0, 16).replace("T", " ");
  return [start, row.folder, tool || "tool without a name", row.complaint, counts, ...marks]
    .filter((words) => words !== "")
    .join("  ");
}

async function tellFailures(index: JobQuestions, { json }: Flags, { out }: Io): Promise<void> {
  for (const each of await index.failures()) {
    const { make, model, title, failed, judged } = each;
    out(json ? JSON.stringify(each) : `${failed} of ${judged}  ${make} ${model}: ${title}`);
  }
}

async function tellResistance(index: JobQuestions, { json }: Flags, { out }: Io): Promise<void> {
  for (const each of await index.resistance({})) {
    const { at, make, model, serial, resistance_ohm, u_ohm } = each;
    const u = u_ohm === null ? "" : ` (u ${(u_ohm * 1000).toPrecision(2)} mΩ)`;
    const value = `${(resistance_ohm * 1000).toPrecision(3)} mΩ${u}`;
    out(json ? JSON.stringify(each) : `${at.slice(0, 10)}  ${make} ${model} ${serial}  ${value}`);
  }
}

function filterOf({ search, outcome, archived, practice, from, to }: Flags): JobFilter {
  return {
    search,
    outcome: outcome === undefined ? undefined : oneOf<Outcome>("--outcome", outcome, OUTCOMES),
    archived: archived ?? false,
    practice: oneOf("--practice", practice, ["too", "only", "none"] as const),
    from: dateOf("--from", from),
    to: dateOf("--to", to),
  };
}

function oneOf<T extends string>(option: string, text: string, known: readonly T[]): T {
  const found = known.find((each) => each === text);
  if (found !== undefined) return found;
  throw new LeadhandError("usage/option", {
    what: `${option} "${text}" is not known.`,
    action: `Give one of ${known.join(", ")}.`,
  });
}

function dateOf(option: string, text: string | undefined): string | undefined {
  if (text === undefined || /^\d{4}-\d{2}-\d{2}$/.test(text)) return text;
  throw new LeadhandError("usage/option", {
    what: `${option} "${text}" is not a date.`,
    action: "Write it as 2026-03-02.",
  });
}

import type { Clock } from "../../drivers/clock.js";
import type { LinkKind } from "../../drivers/link-kind.js";
import type { Experience } from "../../workbench/models/experience.js";
import type { Order } from "../../workbench/contract/orders.js";
import type { Customer } from "../../workbench/job/job-file.js";
import type { NewJob } from "../../workbench/job/job-folder.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { Accuracy } from "../../workbench/measurement/accuracy.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";
import type { Ending, EngineEvent } from "./engine-event.js";
import type { FreeMoment } from "./free-sitting.js";
import type { Reasoning } from "./reasoning.js";

export interface EngineSetup {
  readonly plan: Plan;
  /** Meter addresses; the first is channel a. */
  readonly meters: readonly string[];
  /** A new or empty folder; with `goOn`, the job's. */
  readonly folder: string;
  /** The job in the folder was interrupted and goes on. */
  readonly goOn: boolean;
  readonly tool: NewJob["tool"];
  readonly customer?: Customer | undefined;
  /** Accuracy table of each meter, in their order; null: not known. */
  readonly accuracies: readonly (Accuracy | null)[];
  /** What the shop has learned of this kind of tool so far. */
  readonly experience: Experience | null;
  /** Id of the job that this run repeats after a repair. */
  readonly repeats: string | null;
  /** ISO 8601 with offset: the time of day that is zero on the job's time base. */
  readonly startedAt: string;
  readonly programVersion: string;
  readonly practice: boolean;
  readonly clock: Clock;
  /** All meters are recordings: time is theirs, and this computer's sleep interrupts nothing. */
  readonly recorded: boolean;
  /** Links beside the built-in ones, such as the practice bench. */
  readonly links: readonly LinkKind[];
  /** Hears runner events at once and before anybody else: the hand of the practice bench. */
  readonly hand?: PracticeHandEar;
  /** Told of work that a simulated bench has to wait for. */
  readonly hold?: (work: Promise<unknown>) => void;
  /** The order that the run begins with; one that goes on has its own. */
  readonly order: Order;
  /** Knows what the readings say of the parts; closed with the run. */
  readonly reasoning: Reasoning;
  readonly emit: (event: EngineEvent) => void;
}

/** Hears what a person at the bench would hear. */
export interface PracticeHandEar {
  hear(event: RunEvent): void;
  hearFree(moment: FreeMoment): void;
}

/** A plan being run: meters, runner and job joined. */
export interface Engine {
  readonly folder: string;
  /** Resolves once, after everything that was emitted as recorded is on disk and all is closed. */
  readonly ended: Promise<Ending>;
  confirm(step: string, choice: string | null): void;
  skip(step: string, reason: string): void;
  repeat(step: string): void;
  readonly order: Order;
  setOrder(order: Order): void;
  /** While probing freely: where the probes go next, by the place's number; null: nobody says. */
  declare(place: number | null): void;
  /** Puts down what is no input of the plan; resolves when it is on disk. */
  record(event: JournalEvent): Promise<void>;
  /** The job's time now, seconds; never before the newest reading. */
  now_s(): number;
  /** The computer goes to sleep: the step is begun anew, and the record says so. */
  interrupted(): void;
  /** It is awake: the meters are live again only on a fresh valid frame. */
  resumed(): void;
  stop(): Promise<void>;
}

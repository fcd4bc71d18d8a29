import { basename, dirname } from "node:path";
import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import { isApart } from "../../workbench/plan/taken-apart.js";
import type { ApartEvent } from "../../workbench/plan/taken-apart.js";
import type { BenchEvent, PowerPath } from "../../workbench/contract/events.js";
import { outlineOf } from "../../workbench/plan/outline.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";
import type { StepResult } from "../../workbench/plan/step-result.js";
import { learnedExperience } from "../../workbench/jobs/experience.js";
import type { Experience } from "../../workbench/models/experience.js";
import { modelOf } from "../../workbench/models/kinds.js";
import { startEngine } from "../run/engine.js";
import type { Engine } from "../run/engine-types.js";
import type { EngineEvent } from "../run/engine-event.js";
import { apartMessage, readingMessage, runMessage } from "../run/messages.js";
import { PathKeeper } from "../run/path-keeper.js";
import type { PreparedRun } from "../run/prepare.js";
import { FreeSitting } from "./free-sitting.js";
import { LivePlot } from "./plot.js";

/** `past`: it happened before this sitting, and is shown but not announced. */
type Tell = (event: BenchEvent, past?: boolean) => void;

/**
 * Starts a run whose progress is told as messages for windows. Rejects with a `LeadhandError` where
 * it cannot be begun; then nothing was told.
 */
export async function startBenchRun(prepared: PreparedRun, tell: Tell): Promise<BenchRun> {
  const run = new BenchRun(prepared, tell, await learned(prepared));
  // The first events come while the engine starts; the window wants to know the run before them.
  const early: EngineEvent[] = [];
  let hear = (event: EngineEvent): void => void early.push(event);
  const engine = await startEngine({
    ...prepared,
    conclude: () => run.reasoned(),
    emit: (event) => hear(event),
  });
  run.begin(engine);
  hear = (event) => run.hear(event);
  early.forEach(hear);
  return run;
}

/** What the shop's closed jobs teach of this kind of tool; a simulated tool learns from none. */
async function learned({ plan, folder, practice }: PreparedRun): Promise<Experience | null> {
  const model = practice ? null : modelOf(plan.tool.kind);
  return model === null ? null : learnedExperience(model, dirname(folder));
}

const NOT_FREE = { on: false, places: [], declared: null, words: "", asking: false, taken: [] };

/** One run as the windows see it. */
export class BenchRun {
  #engine: Engine | null = null;
  readonly #plots = new Map<string, LivePlot>();
  readonly #path: PathKeeper;
  readonly #apart: ApartEvent[] = [];
  #free: FreeSitting | null = null;
  #over = false;
  /** Run to its end, and what it says of the parts is still being worked out. */
  #finish: Extract<RunEvent, { kind: "finished" }> | null = null;

  constructor(
    private readonly prepared: PreparedRun,
    private readonly tell: Tell,
    experience: Experience | null,
  ) {
    this.#path = new PathKeeper(prepared.plan, prepared.tool.data ?? {}, experience);
  }

  get id(): string {
    return this.prepared.folder;
  }

  get engine(): Engine | null {
    return this.#engine;
  }

  /** The job is closed: nothing more is written through the engine. */
  get over(): boolean {
    return this.#over;
  }

  /** The plan stands aside and the technician probes freely, or the plan goes on. */
  async probeFreely(on: boolean): Promise<void> {
    const engine = this.#engine;
    if (engine === null || this.#over || on === (this.#free !== null)) return;
    if (!on) {
      this.#free = null;
      engine.aside(false);
      this.tell({ type: "free", free: NOT_FREE });
      return;
    }
    engine.aside(true);
    this.#free = await FreeSitting.begin({
      path: this.#path,
      record: (event) => engine.record(event),
      tell: (event) => this.tell(event),
      trouble: (error) => this.#trouble(error),
    });
  }

  get free(): FreeSitting | null {
    return this.#free;
  }

  /** Something about what came off the tool is on disk. */
  noteApart(event: ApartEvent, past = false): void {
    this.#apart.push(event);
    const apart = apartMessage(this.prepared.plan, this.#apart);
    this.tell({ type: "apart", job: basename(this.id), apart }, past);
  }

  /** The job's time now, seconds. */
  time_s(): number {
    return this.#engine?.now_s() ?? 0;
  }

  plots(): BenchEvent[] {
    return [...this.#plots.values()].map((plot) => plot.whole());
  }

  begin(engine: Engine): void {
    this.#engine = engine;
    const { plan, tool, folder, practice } = this.prepared;
    this.tell({
      type: "run",
      run: {
        run: this.id,
        plan: { id: plan.id, title: plan.title, revision: plan.revision },
        tool: {
          make: tool.make,
          model: tool.model,
          serial: tool.serial,
          complaint: tool.complaint,
        },
        jobFolder: folder,
        practice,
        steps: outlineOf(plan),
      },
    });
    this.tell({ type: "apart", job: basename(this.id), apart: apartMessage(plan, this.#apart) });
    this.#reason(null);
  }

  hear(event: EngineEvent): void {
    switch (event.kind) {
      case "reading": {
        this.tell(readingMessage(event.reading));
        const points = this.#plot(event.reading.channel).push(event.reading);
        if (points) this.tell(points);
        this.#free?.push(event.reading);
        break;
      }
      case "state":
        this.tell({ type: "meter", meter: this.#meter(event) });
        break;
      case "run":
        this.#hearRun(event.event);
        break;
      case "past":
        for (const each of event.events) this.#recall(each);
        for (const each of event.journal) if (isApart(each)) this.noteApart(each, true);
        this.#recallFree(event.journal);
        this.#reason(null);
        break;
      case "concluded":
        this.tell({ type: "path", path: event.path });
        this.#tellFinish(event.words);
        break;
      case "trouble":
        this.#trouble(event.error);
        break;
      case "ended":
        this.#over = true;
        this.#free = null;
        this.tell({ type: "free", free: NOT_FREE });
        this.#tellFinish("The parts could not be reasoned about: judge by the recorded steps.");
        this.tell({ type: "ended", how: event.how });
        void this.#path.close();
        break;
      case "note":
        break;
    }
  }

  /** What the readings so far say of the parts. */
  reasoned(): Promise<PowerPath> {
    return this.#path.path(null);
  }

  #hearRun(event: RunEvent): void {
    if (event.kind === "finished") {
      this.#finish = event;
      return;
    }
    this.tell(runMessage(event, this.prepared.plan));
    if (event.kind !== "step") return;
    this.noteApart(event);
    this.#reason(event.result);
  }

  #recall(event: RunEvent): void {
    if (event.kind === "finished") {
      this.#finish = event;
      return;
    }
    this.tell(runMessage(event, this.prepared.plan), true);
    if (event.kind === "step") void this.#path.path(event.result).catch(() => undefined);
  }

  /** What was probed freely before counts; a sitting that was cut off is over. */
  #recallFree(journal: readonly JournalEvent[]): void {
    for (const each of journal) if (each.kind === "probed") void this.#path.recall(each);
    const aside = journal.findLast((each) => each.kind === "aside");
    if (aside?.on === true) this.#engine?.aside(false);
  }

  #reason(result: StepResult | null): void {
    this.#path.path(result).then(
      (path) => this.tell({ type: "path", path }),
      (thrown: unknown) => this.#trouble(toLeadhandError(thrown)),
    );
  }

  #tellFinish(conclusion: string): void {
    if (this.#finish === null) return;
    const { passed, failed, other } = this.#finish;
    this.#finish = null;
    this.tell({ type: "finished", passed, failed, other, conclusion });
  }

  #trouble({ code, what, action }: LeadhandError): void {
    this.tell({ type: "trouble", error: { code, what, action } });
  }

  #meter({ channel, state, time_s, advice }: Extract<SessionEvent, { kind: "state" }>) {
    const n = channel.charCodeAt(0) - "a".charCodeAt(0);
    const address = this.prepared.meters[n] ?? "";
    const title = this.prepared.accuracies[n]?.meter ?? address;
    return { channel, address, title, state, time_s, advice };
  }

  #plot(channel: string): LivePlot {
    const plot = this.#plots.get(channel) ?? new LivePlot(channel);
    this.#plots.set(channel, plot);
    return plot;
  }
}

import { basename, dirname } from "node:path";
import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import { isApart } from "../../workbench/plan/taken-apart.js";
import type { ApartEvent } from "../../workbench/plan/taken-apart.js";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { outlineOf } from "../../workbench/plan/outline.js";
import type { Plan } from "../../workbench/plan/schema.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";
import { learnedExperience } from "../../workbench/jobs/experience.js";
import type { Experience } from "../../workbench/models/experience.js";
import { modelOf } from "../../workbench/models/kinds.js";
import { startEngine } from "../run/engine.js";
import type { Engine } from "../run/engine-types.js";
import type { EngineEvent } from "../run/engine-event.js";
import { NOT_FREE } from "../run/free-sitting.js";
import { apartMessage, readingMessage, runMessage } from "../run/messages.js";
import type { PreparedRun } from "../run/prepare.js";
import type { Reasoning } from "../run/reasoning.js";
import { LivePlot } from "./plot.js";

/** `past`: it happened before this sitting, and is shown but not announced. */
type Tell = (event: BenchEvent, past?: boolean) => void;

/**
 * Starts a run whose progress is told as messages for windows. Rejects with a `LeadhandError` where
 * it cannot be begun; then nothing was told.
 */
export async function startBenchRun(
  prepared: PreparedRun,
  tell: Tell,
  openReasoning: OpenReasoning,
): Promise<BenchRun> {
  const { plan, tool } = prepared;
  // A run that goes on reasons from what was known when it began.
  const experience = prepared.goOn ? prepared.experience : await learned(prepared);
  const reasoning = openReasoning(plan, tool.data ?? {}, experience);
  const run = new BenchRun(prepared, tell, reasoning);
  // The first events come while the engine starts; the window wants to know the run before them.
  const early: EngineEvent[] = [];
  let hear = (event: EngineEvent): void => void early.push(event);
  const engine = await startEngine({
    ...prepared,
    experience,
    reasoning,
    emit: (event) => hear(event),
  });
  run.begin(engine);
  hear = (event) => run.hear(event);
  early.forEach(hear);
  return run;
}

/** Opens what reasons about a run: in a thread of its own, but in tests. */
export type OpenReasoning = (
  plan: Plan,
  data: Readonly<Record<string, number>>,
  experience: Experience | null,
) => Reasoning;

/** What the shop's closed jobs teach of this kind of tool; a simulated tool learns from none. */
async function learned({ plan, folder, practice }: PreparedRun): Promise<Experience | null> {
  const model = practice ? null : modelOf(plan.tool.kind);
  return model === null ? null : learnedExperience(model, dirname(folder));
}

/** One run as the windows see it. */
export class BenchRun {
  #engine: Engine | null = null;
  readonly #plots = new Map<string, LivePlot>();
  readonly #apart: ApartEvent[] = [];
  #over = false;
  /** Run to its end, and what it says of the parts is still being worked out. */
  #finish: Extract<RunEvent, { kind: "finished" }> | null = null;

  constructor(
    private readonly prepared: PreparedRun,
    private readonly tell: Tell,
    private readonly reasoning: Reasoning,
  ) {}

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
        order: engine.order,
        steps: outlineOf(plan),
      },
    });
    this.tell({ type: "apart", job: basename(this.id), apart: apartMessage(plan, this.#apart) });
    this.#reason();
  }

  hear(event: EngineEvent): void {
    switch (event.kind) {
      case "reading": {
        this.tell(readingMessage(event.reading));
        const points = this.#plot(event.reading.channel).push(event.reading);
        if (points) this.tell(points);
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
        this.#reason();
        break;
      case "order":
        this.tell({ type: "order", order: event.order });
        break;
      case "free":
        this.tell({ type: "free", free: event.free });
        break;
      case "probed":
        this.#reason();
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
        this.tell({ type: "free", free: NOT_FREE });
        this.#tellFinish("The parts could not be reasoned about: judge by the recorded steps.");
        this.tell({ type: "ended", how: event.how });
        break;
      case "note":
        break;
    }
  }

  #hearRun(event: RunEvent): void {
    if (event.kind === "finished") {
      this.#finish = event;
      return;
    }
    if (event.kind === "choose") return;
    this.tell(runMessage(event, this.prepared.plan));
    if (event.kind !== "step") return;
    this.noteApart(event);
    this.#reason();
  }

  #recall(event: RunEvent): void {
    if (event.kind === "choose") return;
    if (event.kind === "finished") {
      this.#finish = event;
      return;
    }
    this.tell(runMessage(event, this.prepared.plan), true);
  }

  #reason(): void {
    this.reasoning.path().then(
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

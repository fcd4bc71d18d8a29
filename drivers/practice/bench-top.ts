import { Resistor, OPEN_OHM } from "./circuit/elements.js";
import type { Node } from "./circuit/network.js";
import { Hand } from "./hand/hand.js";
import type { Place, Workplace } from "./hand/hand.js";
import { Probe } from "./hand/probe.js";
import type { HandRequest } from "./hand/request.js";
import { MeterInput } from "./meter/input.js";
import { MeterLine } from "./meter/line.js";
import { Meter } from "./meter/meter.js";
import { CLAMP_DIAL, DIAL } from "./meter/ranges.js";
import { Stray } from "./meter/stray.js";
import type { Wire } from "./meter/wire.js";
import { chanceOf } from "./random.js";
import type { Chance } from "./random.js";
import { AT_REST } from "./tools/tool.js";
import type { Tool, ToolState } from "./tools/tool.js";

/** How often the hand slips. */
export interface Habits {
  /** Share of touches with the probes the wrong way round. */
  readonly reversed: number;
  /** Share of touches that rub before they hold. */
  readonly rubbing: number;
}

/** Longest steps: while something moves fast, and at rest, seconds. */
const LIVELY_STEP_S = 0.001;
const CALM_STEP_S = 0.005;

/** Everything that stands on the simulated bench, advanced together in simulated time. */
export class BenchTop implements Workplace {
  #time_s = 0;
  #state: ToolState = AT_REST;
  readonly #input: MeterInput;
  readonly #stray: Stray;
  readonly #probes: readonly [Probe, Probe];
  readonly #air: Node;
  readonly #chance: Chance;
  readonly #longest_s: number;
  readonly hand: Hand;
  readonly lines: Readonly<Record<"a" | "b", MeterLine>>;

  constructor(
    readonly tool: Tool,
    seed: number,
    private readonly habits: Habits,
    wire: Wire,
    interval_s: number,
  ) {
    const { network } = tool;
    this.#chance = chanceOf(seed, "slips");
    this.#air = network.node("tips");
    const sockets = [network.node("meter-red"), network.node("meter-black")] as const;
    this.#input = network.add(new MeterInput(...sockets));
    this.#stray = new Stray(this.#input, chanceOf(seed, "stray"));
    this.#probes = [this.#probe(sockets[0], seed, "red"), this.#probe(sockets[1], seed, "black")];
    this.#longest_s = Math.min(CALM_STEP_S, interval_s / 4);
    this.hand = new Hand(this, chanceOf(seed, "hand"));
    const clamp = {
      test: null,
      get volt() {
        return tool.supply_A;
      },
    };
    const line = (name: string, meter: Meter): MeterLine =>
      new MeterLine(meter, wire, interval_s, chanceOf(seed, `line ${name}`));
    this.lines = {
      a: line("a", new Meter(this.#input, DIAL, interval_s, chanceOf(seed, "meter a"))),
      b: line("b", new Meter(clamp, CLAMP_DIAL, interval_s, chanceOf(seed, "meter b"))),
    };
    tool.put(this.#state);
  }

  get time_s(): number {
    return this.#time_s;
  }

  get state(): ToolState {
    return this.#state;
  }

  /** One step of everything. */
  step(): void {
    const lively = this.tool.lively || this.#probes.some((probe) => probe.lively);
    const dt_s = Math.min(lively ? LIVELY_STEP_S : CALM_STEP_S, this.#longest_s);
    this.hand.advance(dt_s);
    this.#stray.advance(dt_s);
    for (const probe of this.#probes) probe.advance(dt_s);
    this.tool.step(dt_s);
    this.#time_s += dt_s;
    this.lines.a.advance(dt_s, this.#time_s);
    this.lines.b.advance(dt_s, this.#time_s);
  }

  /** True voltage between two points now, volts; the meter is connected where it is connected. */
  between(red: string, black: string): number {
    const { voltage } = this.tool.network;
    return voltage(this.#nodeOf(red)) - voltage(this.#nodeOf(black));
  }

  place(at: Place, asMarked: boolean): void {
    if (at === null) {
      for (const probe of this.#probes) probe.lift();
      return;
    }
    const nodes =
      at === "together" ? [this.#air, this.#air] : [this.#nodeOf(at.red), this.#nodeOf(at.black)];
    if (this.#chance.happens(this.habits.reversed) && !asMarked) nodes.reverse();
    // Tips held against each other lie well; points in a tool are what one slips on.
    const rubbing = this.#chance.happens(this.habits.rubbing) && at !== "together";
    this.#probes.forEach((probe, n) => {
      const rub_s = rubbing ? this.#chance.between(0.4, 1.6) : 0;
      probe.put(nodes[n] ?? 0, { bounce_s: this.#chance.between(0.03, 0.12), rub_s });
    });
  }

  dialWay(dial: HandRequest["dial"]): readonly number[] {
    return this.lines.a.meter.wayTo(dial);
  }

  turnDial(index: number): void {
    this.lines.a.meter.turnTo(index);
  }

  pressHold(): void {
    this.lines.a.meter.pressHold();
  }

  get holding(): boolean {
    return this.lines.a.meter.holding;
  }

  squeeze(squeezed: boolean): void {
    this.#put({ squeezed });
  }

  turnShaft(speed: number | null): void {
    if (speed !== this.#state.turned) this.#put({ turned: speed });
  }

  prepare({ pack, charger, case: housing, mains, motor }: HandRequest["condition"]): void {
    this.#put({ pack, charger, case: housing, mains, motor });
  }

  #put(change: Partial<ToolState>): void {
    this.#state = { ...this.#state, ...change };
    this.tool.put(this.#state);
  }

  #probe(socket: Node, seed: number, colour: string): Probe {
    const contact = this.tool.network.add(new Resistor(socket, this.#air, OPEN_OHM));
    return new Probe(contact, chanceOf(seed, `probe ${colour}`));
  }

  /** A point that this tool does not have is thin air. */
  #nodeOf(point: string): Node {
    return this.tool.points.get(point) ?? this.#air;
  }
}

import type { Spread } from "../models/model.js";
import type { Compiled } from "./compile.js";
import type { Measured } from "./observation.js";
import type { Scene, State } from "./scene.js";
import type { Places } from "./unknowns.js";

/** Input resistance of a hand-held meter on volts, ohms: common practice, no source. */
const METER_OHM = 10e6;
/** Test leads with their contacts, shared by every resistance of a job, ohms. */
const LEADS: Spread = { centre: 0.25, sd: 0.15, scale: "linear" };

/** In volts or ohms, before it is put on its scale. */
export interface Raw {
  readonly mean: number;
  readonly loads: Float64Array;
}

/** Between which nodes, and how. */
export interface Touch {
  readonly quantity: Measured["quantity"];
  readonly red: number;
  readonly black: number;
}

/** What a meter shows, and how far that moves for one standard deviation of each unknown value. */
export class Gauge {
  constructor(
    private readonly compiled: Compiled,
    private readonly places: Places,
  ) {}

  measure({ quantity, red, black }: Touch, scene: Scene, state: State): Raw {
    const response = state.solution.response(red, black);
    const ohm = state.solution.resistance(red, black, response);
    const loads = new Float64Array(this.places.count);
    if (quantity === "resistance") {
      this.loadOhms(scene, state, response, loads);
      return { mean: ohm + LEADS.centre, loads };
    }
    const share = 1 / (1 + ohm / METER_OHM);
    const mean = state.solution.voltage(red, black) * share;
    this.loadVolts(scene, state, response, { share, mean }, loads);
    return { mean, loads };
  }

  private loadVolts(
    scene: Scene,
    state: State,
    response: Float64Array,
    { share, mean }: { readonly share: number; readonly mean: number },
    loads: Float64Array,
  ): void {
    const { nodes, branches } = scene.circuit;
    scene.elements.forEach((element, branch) => {
      const answer = (response[nodes + branch] ?? 0) * share;
      if (branch === scene.motor && state.noLoad !== null) {
        const { a, b } = branches[branch] ?? { a: 0, b: 0 };
        const transfer = ((response[a] ?? 0) - (response[b] ?? 0)) * share;
        loads[loads.length - 1] = -transfer * deviation(state.noLoad);
        return;
      }
      const ohm = this.ohmOf(state, element);
      // The branch's own drop, and the meter's load on what lies behind it.
      const meter = (mean * answer * answer) / share / METER_OHM;
      const place = this.places.ohm(element, state.ohm.has(element));
      const drop = answer * state.solution.current(branch) - meter;
      loads[place] = isOpen(ohm) ? 0 : drop * deviation(ohm);
      const volt = this.voltOf(state, element);
      if (volt !== null) {
        loads[this.places.volt(element, state.volt.has(element))] = answer * volt.sd;
        const charge = loads.length - 3;
        loads[charge] = (loads[charge] ?? 0) + answer * (volt.shared ?? 0);
      }
    });
  }

  private loadOhms(scene: Scene, state: State, response: Float64Array, loads: Float64Array): void {
    scene.elements.forEach((element, branch) => {
      const answer = response[scene.circuit.nodes + branch] ?? 0;
      const place = this.places.ohm(element, state.ohm.has(element));
      const ohm = this.ohmOf(state, element);
      loads[place] = isOpen(ohm) ? 0 : answer * answer * deviation(ohm);
    });
    loads[loads.length - 2] = LEADS.sd;
  }

  private ohmOf(state: State, element: number): Spread {
    return state.ohm.get(element) ?? this.compiled.elements[element]?.ohm ?? LEADS;
  }

  private voltOf(state: State, element: number): Spread | null {
    const own = this.compiled.elements[element];
    return state.volt.get(element) ?? (own?.kind === "source" ? own.volt : null);
  }
}

/**
 * How open an open circuit is moves no reading of a meter; and what two of them in one loop let
 * through is lost in the digits of the solution, so that times their size it would be noise.
 */
function isOpen({ centre }: Spread): boolean {
  return centre >= 1e9;
}

/**
 * How far the value typically lies from its centre, in its own unit. Of a log-normal one this is the
 * root mean square distance from the median: its long upper tail counts (a worn but sound pack).
 */
function deviation({ centre, sd, scale }: Spread): number {
  if (scale === "linear") return sd;
  return centre * Math.sqrt(Math.exp(2 * sd * sd) - 2 * Math.exp((sd * sd) / 2) + 1);
}

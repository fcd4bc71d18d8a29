import type { Element, Node, Stamp } from "../circuit/network.js";
import type { Front } from "./meter.js";
import type { TestSource } from "./ranges.js";

/** Input resistance of the voltage ranges, ohms: usual for hand-held meters. */
const INPUT_OHM = 10e6;
/**
 * Capacitance that the open input holds its charge on, farad: leads, input and filter, typical.
 * With 10 MΩ it lets the last voltage fade within half a second.
 */
const INPUT_F = 10e-9;
const OHMS_INPUT_F = 1e-9;

/**
 * The two sockets of the meter as the circuit sees them: a high resistance with a little
 * capacitance for volts, a weak source for ohms. Also what the open leads pick up from the room.
 */
export class MeterInput implements Element, Front {
  test: TestSource | null = null;
  /** Current that stray fields drive into the open leads, ampere. */
  stray_A = 0;
  /** Voltage between the sockets at the end of the last step. */
  volt = 0;

  constructor(
    readonly red: Node,
    readonly black: Node,
  ) {}

  stamp(stamp: Stamp, dt_s: number): void {
    const farad = this.test === null ? INPUT_F : OHMS_INPUT_F;
    stamp.conductance(this.red, this.black, this.#leak() + farad / dt_s);
    stamp.current(this.black, this.red, (this.volt * farad) / dt_s + this.#driven());
  }

  accept(voltage: (node: Node) => number): void {
    this.volt = voltage(this.red) - voltage(this.black);
  }

  #leak(): number {
    return this.test === null ? 1 / INPUT_OHM : this.test.ampere / this.test.volt;
  }

  #driven(): number {
    return this.test === null ? this.stray_A : this.test.ampere;
  }
}

import type { Element, Node, Stamp } from "./network.js";

/** What a bench supply is set to. */
interface Setting {
  readonly volt: number;
  readonly limit_A: number;
  /** Of its leads, ohms. */
  readonly ohm: number;
}

/** Across a supply that gives its limit, so that an open output has a voltage, siemens. */
const LIMITING_S = 1e-3;

/**
 * A bench supply: holds its voltage up to the current that it is limited to, then holds that current
 * and lets the voltage fall. Which of both it does is decided after each step for the next.
 */
export class LimitedSource implements Element {
  /** Current delivered in the last step, ampere. */
  ampere = 0;
  #limiting = false;

  constructor(
    readonly plus: Node,
    readonly minus: Node,
    private readonly setting: Setting,
    public on = false,
  ) {}

  stamp(stamp: Stamp): void {
    if (!this.on) return;
    const { siemens, ampere } = this.#norton;
    stamp.conductance(this.plus, this.minus, siemens);
    stamp.current(this.minus, this.plus, ampere);
  }

  accept(voltage: (node: Node) => number): void {
    const volt = voltage(this.plus) - voltage(this.minus);
    const { siemens, ampere } = this.#norton;
    this.ampere = this.on ? ampere - siemens * volt : 0;
    const { setting } = this;
    this.#limiting = this.#limiting
      ? volt + setting.limit_A * setting.ohm < setting.volt
      : this.ampere > setting.limit_A;
  }

  get #norton(): { siemens: number; ampere: number } {
    const { volt, limit_A, ohm } = this.setting;
    return this.#limiting
      ? { siemens: LIMITING_S, ampere: limit_A }
      : { siemens: 1 / ohm, ampere: volt / ohm };
  }
}

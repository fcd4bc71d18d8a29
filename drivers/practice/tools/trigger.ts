import { OPEN_OHM, Resistor } from "../circuit/elements.js";
import type { Network } from "../circuit/network.js";
import type { BrushedParts } from "./brushed-parts.js";
import { SoftGate } from "./soft-gate.js";

/** The trigger switch between switch-in-plus and switch-out-plus. */
export interface Trigger {
  put(squeezed: boolean): void;
  /** Before each step of the network. */
  before(dt_s: number): void;
}

/**
 * A changeover contact: closed is closed, powered or not. Released it shorts the motor, which stops
 * it; welded to one side it does not reach the other.
 */
export class MechanicalTrigger implements Trigger {
  readonly #contact: Resistor;
  readonly #brake: Resistor;

  constructor(
    network: Network,
    private readonly parts: BrushedParts["switch"],
  ) {
    const [output, minus] = [network.node("switch-out-plus"), network.node("switch-out-minus")];
    this.#contact = network.add(new Resistor(network.node("switch-in-plus"), output, OPEN_OHM));
    this.#brake = network.add(new Resistor(output, minus, OPEN_OHM));
  }

  put(squeezed: boolean): void {
    const { closed_ohm, open_ohm, brake_ohm } = this.parts;
    this.#contact.ohm = squeezed ? closed_ohm : open_ohm;
    this.#brake.ohm = squeezed || open_ohm < WELDED_BELOW_OHM ? OPEN_OHM : brake_ohm;
  }

  before(): void {
    return;
  }
}

/** A contact that should be open and has less is welded. */
const WELDED_BELOW_OHM = 1e3;

/** Supply below which the electronics do nothing, volts. */
const WAKES_V = 6;
/** What the electronics draw as a resistance, awake and on the bit of voltage of an ohmmeter. */
const AWAKE_OHM = 12e3;
const ASLEEP_OHM = 3e6;
/** What the switched-off transistor leaks. */
const LEAK_OHM = 3e6;

/** A transistor with its electronics: conducts only when supplied, and comes on softly. */
export class ElectronicTrigger implements Trigger {
  readonly #transistor: Resistor;
  readonly #electronics: Resistor;
  #squeezed = false;
  readonly #gate = new SoftGate();

  constructor(
    private readonly network: Network,
    private readonly parts: BrushedParts["switch"],
  ) {
    const input = network.node("switch-in-plus");
    this.#electronics = network.add(
      new Resistor(input, network.node("switch-in-minus"), ASLEEP_OHM),
    );
    this.#transistor = network.add(new Resistor(input, network.node("switch-out-plus"), LEAK_OHM));
  }

  put(squeezed: boolean): void {
    this.#squeezed = squeezed;
  }

  before(dt_s: number): void {
    const awake = this.#supply_V > WAKES_V;
    this.#electronics.ohm = awake ? AWAKE_OHM : ASLEEP_OHM;
    const on = this.#squeezed && awake && this.parts.closed_ohm < LEAK_OHM;
    const off_ohm = Math.min(LEAK_OHM, this.parts.open_ohm);
    this.#transistor.ohm = this.#gate.ohm(on, this.parts.closed_ohm, off_ohm, dt_s);
  }

  get #supply_V(): number {
    const { network } = this;
    const minus = network.voltage(network.node("switch-in-minus"));
    return network.voltage(network.node("switch-in-plus")) - minus;
  }
}

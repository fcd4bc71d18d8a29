import type { Element, Node, Stamp } from "./network.js";

/** A brushed motor with a permanent magnet, SI units. */
export interface MotorData {
  readonly winding_ohm: number;
  readonly winding_H: number;
  /** Back-EMF constant, V·s/rad; in SI the torque constant N·m/A is the same number. */
  readonly ke: number;
  /** Inertia with what turns along, kg·m². */
  readonly inertia: number;
  /** Friction that does not depend on speed, N·m. */
  readonly dry_Nm: number;
  /** Friction in proportion to speed, N·m·s/rad. */
  readonly viscous: number;
}

/**
 * Winding, back-EMF, inertia and friction as one element. Current by the exact exponential of the
 * winding, speed by backward Euler, both solved together for the end of the step: stable at any
 * step length.
 */
export class Motor implements Element {
  /** Speed, rad/s, and shaft angle, rad. */
  speed = 0;
  angle = 0;
  ampere = 0;
  /** The shaft cannot turn. */
  locked = false;
  /** Speed at which a hand turns the shaft, rad/s; null: nobody turns it. */
  turnedAt: number | null = null;
  /** Added to the winding, ohms: what the commutator does at this angle. */
  extra_ohm = 0;

  constructor(
    readonly plus: Node,
    readonly minus: Node,
    public data: MotorData,
  ) {}

  stamp(stamp: Stamp, dt_s: number): void {
    const { siemens, volt, kept } = this.#equivalent(dt_s);
    stamp.conductance(this.plus, this.minus, siemens);
    stamp.current(this.plus, this.minus, kept - siemens * volt);
  }

  accept(voltage: (node: Node) => number, dt_s: number): void {
    const { siemens, volt, kept } = this.#equivalent(dt_s);
    this.ampere = siemens * (voltage(this.plus) - voltage(this.minus) - volt) + kept;
    this.#turn(dt_s);
    this.angle += this.speed * dt_s;
  }

  /** i = siemens · (v − volt) + kept at the end of the step. */
  #equivalent(dt_s: number): { siemens: number; volt: number; kept: number } {
    const ohm = this.data.winding_ohm + this.extra_ohm;
    const share = Math.exp((-ohm * dt_s) / this.data.winding_H);
    const direct = (1 - share) / ohm;
    const free = this.#freeSpeed(dt_s);
    // The speed at the end of the step depends on the current of the step: fold it in.
    const coupled = 1 + direct * this.data.ke * free.perAmpere;
    return {
      siemens: direct / coupled,
      volt: this.data.ke * free.speed,
      kept: (share * this.ampere) / coupled,
    };
  }

  /** Speed at the end of the step as speed + perAmpere · i. */
  #freeSpeed(dt_s: number): { speed: number; perAmpere: number } {
    if (this.turnedAt !== null) return { speed: this.turnedAt, perAmpere: 0 };
    if (this.locked || this.speed === 0) return { speed: 0, perAmpere: 0 };
    const { inertia, viscous, dry_Nm, ke } = this.data;
    const heavy = inertia + viscous * dt_s;
    const dry = Math.sign(this.speed) * dry_Nm * dt_s;
    return { speed: (inertia * this.speed - dry) / heavy, perAmpere: (ke * dt_s) / heavy };
  }

  #turn(dt_s: number): void {
    if (this.turnedAt !== null) this.speed = this.turnedAt;
    else if (this.locked) this.speed = 0;
    else {
      const { inertia, viscous, dry_Nm, ke } = this.data;
      const torque = ke * this.ampere;
      if (this.speed === 0 && Math.abs(torque) <= dry_Nm) return;
      const dry = Math.sign(this.speed === 0 ? torque : this.speed) * dry_Nm;
      const next = (inertia * this.speed + (torque - dry) * dt_s) / (inertia + viscous * dt_s);
      // Dry friction stops a shaft, it does not turn it the other way.
      this.speed = this.speed !== 0 && next * this.speed < 0 ? 0 : next;
    }
  }
}

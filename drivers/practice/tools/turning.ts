/** Speed of a sound motor at rated voltage, rad/s, and what it draws there at most, ampere. */
interface Usual {
  readonly speed: number;
  readonly most_A: number;
}

/** One moment of a motor that is supplied. */
interface Moment {
  readonly speed: number;
  readonly ampere: number;
  /** A brush or a bar keeps the current out. */
  readonly open: boolean;
}

/** What a person says of it, as the ids of a plan's choices. */
type Manner = "runs" | "still" | "slow" | "jerks";

/** Share of the usual speed up to which nobody calls it turning, and below which it is slow. */
const CRAWL = 0.04;
const SLOW = 0.6;
/** So much of the time without current is heard, seen as sparks, or felt as jerks. */
const JERKY = 0.05;
/** A start is not judged, seconds. */
const START_S = 0.4;

/** What a person sees and hears of the motor while it is supplied, and remembers afterwards. */
export class Turning {
  #manner: Manner | null = null;
  #driven_s = 0;
  #open_s = 0;
  #fastest = 0;
  #ampere_s = 0;

  constructor(private readonly usual: Usual) {}

  /** null while it never was supplied. */
  get manner(): Manner | null {
    return this.#manner;
  }

  /** After each step; `moment` is null while nobody supplies the motor. */
  watch(moment: Moment | null, dt_s: number): void {
    if (moment === null) {
      this.#driven_s = this.#open_s = this.#fastest = this.#ampere_s = 0;
      return;
    }
    this.#driven_s += dt_s;
    if (this.#driven_s < START_S) return;
    this.#fastest = Math.max(this.#fastest, Math.abs(moment.speed));
    this.#ampere_s += Math.abs(moment.ampere) * dt_s;
    if (moment.open) this.#open_s += dt_s;
    this.#manner = this.#judge(this.#driven_s - START_S + dt_s);
  }

  #judge(watched_s: number): Manner {
    const { speed, most_A } = this.usual;
    if (this.#fastest < CRAWL * speed) return "still";
    if (this.#open_s > JERKY * watched_s) return "jerks";
    const labours = this.#ampere_s > most_A * watched_s;
    return this.#fastest < SLOW * speed || labours ? "slow" : "runs";
  }
}

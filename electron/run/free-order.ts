import type { TimedReading } from "../../protocols/reading.js";
import { toLeadhandError } from "../../protocols/error.js";
import type { Runner } from "../../workbench/plan/runner.js";
import { FreeSitting, NOT_FREE } from "./free-sitting.js";

type Options = Parameters<typeof FreeSitting.begin>[0];

/** Keeps a sitting of free probing as long as that is the order of the run. */
export class FreeOrder {
  #sitting: Promise<FreeSitting> | null = null;
  #now: FreeSitting | null = null;

  constructor(private readonly options: Options) {}

  /** Begins or ends with the order. */
  follow({ order }: Runner): void {
    if ((order === "free") === (this.#sitting !== null)) return;
    this.#now = null;
    if (order !== "free") {
      this.#sitting = null;
      this.options.tell(NOT_FREE);
      return;
    }
    const sitting = FreeSitting.begin(this.options);
    this.#sitting = sitting;
    this.options.hold(sitting);
    sitting.then(
      (begun) => {
        if (this.#sitting === sitting) this.#now = begun;
      },
      (thrown: unknown) => this.options.trouble(toLeadhandError(thrown)),
    );
  }

  /** A step that was asked for by hand has the readings to itself. */
  push(reading: TimedReading, { current }: Runner): void {
    if (current === null) this.#now?.push(reading);
  }

  declare(place: number | null): void {
    this.#now?.declare(place);
  }
}

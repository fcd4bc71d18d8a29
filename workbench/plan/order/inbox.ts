import type { RunInput } from "../run-event.js";

/** What comes in while the next step is being chosen: it waits until that is known. */
export class Inbox {
  private readonly held: RunInput[] = [];

  put(input: RunInput): void {
    this.held.push(input);
  }

  /** The next input in its turn; while choosing only the choice, or another order. */
  next(choosing: boolean): RunInput | null {
    const at = choosing ? this.held.findIndex(endsTheWaiting) : 0;
    const [next] = at < 0 ? [] : this.held.splice(at, 1);
    return next ?? null;
  }
}

function endsTheWaiting({ kind }: RunInput): boolean {
  return kind === "chosen" || kind === "order";
}

/**
 * What a run is still working at. A practice bench that runs as fast as it can waits for it: its hand
 * must not have to wait through minutes of its own time for a disk.
 */
export class WorkInHand {
  readonly #open = new Set<Promise<unknown>>();

  readonly hold = (work: Promise<unknown>): void => {
    const forget = (): void => void this.#open.delete(work);
    this.#open.add(work);
    work.then(forget, forget);
  };

  /** Between two chunks: others have their turn, and the work is done. */
  readonly idle = async (): Promise<void> => {
    await new Promise((resolve) => setImmediate(resolve));
    while (this.#open.size > 0) await Promise.allSettled(this.#open);
  };
}

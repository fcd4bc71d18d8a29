import type { Clock } from "../clock.js";
import type { DeviceNodes } from "./node.js";

/** How often the file of a device in use is looked at. */
const LOOK_MS = 100;

/**
 * Looks whether a device file is still the one that was opened, because drivers and libraries do
 * not always tell: serialport 13 can miss an unplug for ever (its read loop takes the 0 bytes of a
 * hung-up line for "try again"). Calls `gone` once; the returned function ends the watch.
 */
export function watchDevice(
  { clock, nodes }: { clock: Clock; nodes: DeviceNodes },
  path: string,
  identity: string,
  gone: () => void,
): () => void {
  let ended = false;
  let cancel = (): void => undefined;
  const look = async (): Promise<void> => {
    const now = await nodes.identity(path);
    if (ended) return;
    if (now === identity) cancel = clock.after(LOOK_MS, () => void look());
    else gone();
  };
  cancel = clock.after(LOOK_MS, () => void look());
  return () => {
    ended = true;
    cancel();
  };
}

import { uptime } from "node:os";
import type { Clock } from "../../drivers/clock.js";

/** Who is told that the computer slept. */
export interface Sleeper {
  interrupted(): void;
  resumed(): void;
}

const LOOK_MS = 1_000;
/** More than what the two clocks are apart by their own coarseness. */
const SLEPT_S = 2;
/** No busy computer holds a timer up for so long. */
const HELD_UP_S = 10;

/**
 * Infers after the event that the computer slept, where no desktop shell tells of it. The time since
 * the computer was started goes on during sleep and is not touched when somebody sets the clock.
 * On Linux the monotonic clock of timers stands still meanwhile; elsewhere it goes on, and then a
 * timer that comes far too late tells the same. The returned function ends the watch.
 */
export function watchSleep(sleeper: Sleeper, clock: Clock, uptime_s = uptime): () => void {
  let [awake_s, up_s] = [secondsOf(clock), uptime_s()];
  let cancel = (): void => undefined;
  const look = (): void => {
    const [now_s, nowUp_s] = [secondsOf(clock), uptime_s()];
    const [passed_s, passedUp_s] = [now_s - awake_s, nowUp_s - up_s];
    [awake_s, up_s] = [now_s, nowUp_s];
    if (passedUp_s - passed_s > SLEPT_S || passed_s > HELD_UP_S) {
      sleeper.interrupted();
      sleeper.resumed();
    }
    cancel = clock.after(LOOK_MS, look);
  };
  cancel = clock.after(LOOK_MS, look);
  return () => {
    cancel();
  };
}

function secondsOf(clock: Clock): number {
  return Number(clock.now_ns()) / 1e9;
}

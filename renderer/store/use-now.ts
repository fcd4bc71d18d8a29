import { useEffect, useState } from "react";

/** The window's monotonic time, anew every `every_ms` while `active`. Only for ages on screen. */
export function useNow(every_ms: number, active: boolean): number {
  const [now_ms, setNow] = useState(() => performance.now());
  useEffect(() => {
    if (!active) return;
    const timer = setInterval(() => setNow(performance.now()), every_ms);
    return () => clearInterval(timer);
  }, [every_ms, active]);
  return now_ms;
}

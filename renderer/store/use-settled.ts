import { useEffect, useState } from "react";

/** The value once it has not changed for a while: a search asks for words, not for letters. */
export function useSettled<T>(value: T, quiet_ms: number): T {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(value), quiet_ms);
    return () => clearTimeout(timer);
  }, [value, quiet_ms]);
  return settled;
}

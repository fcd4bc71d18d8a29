import { useState } from "react";

/** Where one was on the desk, for when one comes back from the bench. */
const places = new Map<string, unknown>();

/** As `useState`, but remembered as long as the window is open. */
export function useRemembered<T>(name: string, first: T): readonly [T, (next: T) => void] {
  const [value, setValue] = useState(() => (places.has(name) ? (places.get(name) as T) : first));
  return [
    value,
    (next) => {
      places.set(name, next);
      setValue(next);
    },
  ];
}

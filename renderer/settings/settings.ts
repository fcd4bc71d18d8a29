import { useSyncExternalStore } from "react";
import { z } from "zod";

/** What a person sets once on this computer; kept by the browser, never sent anywhere. */
const settingsSchema = z.object({
  /** `system`: light or dark, as the computer is set. */
  theme: z.enum(["system", "light", "dark", "bench"]).catch("system"),
  /** Of tones and speech, 0 to 1. */
  volume: z.number().min(0).max(1).catch(0.7),
  /** Of speech, 1 is the voice's own. */
  rate: z.number().min(0.5).max(2).catch(1),
  muted: z.boolean().catch(false),
  speech: z.boolean().catch(true),
  /** The key (or pedal, which is a keyboard to the computer) for each action; null: none. */
  keys: z
    .object({
      confirm: z.string().nullable().catch("Enter"),
      repeat: z.string().nullable().catch(null),
      skip: z.string().nullable().catch(null),
    })
    .catch({ confirm: "Enter", repeat: null, skip: null }),
});

export type Settings = z.infer<typeof settingsSchema>;
export type KeyAction = keyof Settings["keys"];

const STORAGE_KEY = "leadhand-settings";
const listeners = new Set<() => void>();
let current = load();

/** Damaged or older settings lose only what is damaged. */
function load(): Settings {
  try {
    return settingsSchema.parse(JSON.parse(localStorage.getItem(STORAGE_KEY) ?? "{}"));
  } catch {
    return settingsSchema.parse({});
  }
}

export function getSettings(): Settings {
  return current;
}

export function changeSettings(change: Partial<Settings>): void {
  current = { ...current, ...change };
  localStorage.setItem(STORAGE_KEY, JSON.stringify(current));
  showTheme();
  for (const listener of listeners) listener();
}

export function useSettings(): Settings {
  return useSyncExternalStore(subscribe, getSettings);
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

const systemDark = matchMedia("(prefers-color-scheme: dark)");
systemDark.addEventListener("change", showTheme);

/** The tokens of the chosen theme are picked by this attribute. */
export function showTheme(): void {
  const { theme } = current;
  const own = systemDark.matches ? "dark" : "light";
  document.documentElement.dataset["theme"] = theme === "system" ? own : theme;
}

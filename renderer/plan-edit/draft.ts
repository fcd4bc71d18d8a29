import { z } from "zod";

/**
 * Work on a plan that is not kept yet, on this computer: it outlives leaving the editor, a trial on
 * the practice bench, and a window that is closed or dies.
 */
const draftSchema = z.object({ text: z.string(), since: z.string() });
export type Draft = z.infer<typeof draftSchema>;

const key = (plan: string): string => `leadhand-plan-draft ${plan}`;

/** null where there is none, or none that can be read. */
export function readDraft(plan: string): Draft | null {
  try {
    return draftSchema.parse(JSON.parse(localStorage.getItem(key(plan)) ?? "null"));
  } catch {
    return null;
  }
}

/** false where the browser has no room for it. */
export function keepDraft(plan: string, text: string, since: string): boolean {
  try {
    localStorage.setItem(key(plan), JSON.stringify({ text, since }));
    return true;
  } catch {
    return false;
  }
}

export function dropDraft(plan: string): void {
  localStorage.removeItem(key(plan));
}

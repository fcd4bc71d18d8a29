import { z } from "zod";

/**
 * As much of a plan as the form edits. Everything else in the text stays as it is: the form changes
 * single values in it and never rewrites what it does not know.
 */
const stepSchema = z.looseObject({
  id: z.string(),
  kind: z.string(),
  title: z.string(),
  instruction: z.string(),
  limits: z
    .looseObject({
      low: z.union([z.number(), z.string()]).optional(),
      high: z.union([z.number(), z.string()]).optional(),
      source: z.string(),
    })
    .optional(),
});
const planSchema = z.looseObject({
  id: z.string(),
  title: z.string(),
  revision: z.string(),
  steps: z.array(stepSchema),
});

export type FormPlan = z.infer<typeof planSchema>;
export type FormStep = FormPlan["steps"][number];

/** null while the text is not a plan that the form can show. */
export function readForm(text: string): FormPlan | null {
  try {
    const parsed = planSchema.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

export function writeForm(plan: FormPlan): string {
  return `${JSON.stringify(plan, null, 2)}\n`;
}

export function withStep(plan: FormPlan, at: number, change: Partial<FormStep>): FormPlan {
  const steps = plan.steps.map((step, other) => (other === at ? { ...step, ...change } : step));
  return { ...plan, steps };
}

/** A limit as it is typed: a number where it is one, else a formula; empty: no limit. */
export function withLimit(step: FormStep, side: "low" | "high", typed: string): FormStep {
  const words = typed.trim();
  const value = words === "" ? undefined : Number.isNaN(Number(words)) ? words : Number(words);
  // JSON leaves out what is undefined.
  return { ...step, limits: { source: "", ...step.limits, [side]: value } };
}

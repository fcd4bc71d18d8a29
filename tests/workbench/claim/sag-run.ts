import { createJob } from "../../../workbench/job/job-folder.js";
import { planSchema } from "../../../workbench/plan/schema.js";
import { SampleBench, sampleJob, samplePlan } from "../job/sample-run.js";

const [pack] = samplePlan.steps;

/** One sag: the trigger is squeezed on a pack at rest, held for two seconds and let go. */
const sagPlan = planSchema.parse({
  ...samplePlan,
  steps: [
    {
      ...pack,
      id: "pack-load",
      title: "Pack under load",
      instruction: "Red on pack plus, black on pack minus. Squeeze the trigger for two seconds.",
      condition: { trigger: "worked" },
      watch: { kind: "sag", hold_s: 1.5 },
      judged: "plateau",
      limits: { low: 16.5, source: "common practice, no source" },
      cautions: ["pack", "moving-tool"],
    },
  ],
});

/** Twenty lines a second; `plateau_V` is what is left under load. */
export async function sagRun(folder: string, plateau_V: number, startedAt: string): Promise<void> {
  const job = await createJob(folder, sampleJob({ plan: sagPlan, startedAt }));
  const bench = new SampleBench(job);
  bench.start();
  for (let n = 0; n < 200; n++) {
    const time_s = 0.5 + n / 20;
    const wobble_V = ((n * 7) % 3) / 1000;
    bench.bytes(time_s, `${(voltage(time_s, plateau_V) + wobble_V).toFixed(3)} V DC\r\n`);
  }
  await bench.settled();
  await job.close();
}

function voltage(time_s: number, plateau_V: number): number {
  const rest_V = 18.4;
  if (time_s < 1.5) return 0;
  if (time_s < 4) return rest_V;
  const held_s = time_s - 4;
  if (held_s < 2) return plateau_V - 0.8 * Math.exp(-held_s / 0.1) - 0.05 * held_s;
  return rest_V - 0.15 - 0.6 * Math.exp(-(held_s - 2) / 0.8);
}

import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { scriptedIo } from "./scripted-io.js";

describe("leadhand check-plan", () => {
  let folder = "";
  beforeAll(() => (folder = mkdtempSync(join(tmpdir(), "leadhand-"))));
  afterAll(() => rmSync(folder, { recursive: true }));

  const write = (name: string, value: unknown) => {
    const file = join(folder, name);
    writeFileSync(file, typeof value === "string" ? value : JSON.stringify(value));
    return file;
  };

  it("passes a bundled plan", async () => {
    const io = scriptedIo();
    expect(await runProgram(["check-plan", "cordless-brushed"], io)).toBe(0);
    expect(io.messages).toEqual(["The plan cordless-brushed may be run: 0 errors, 0 warnings."]);
  });

  it("refuses a plan that measures ohms with the pack left in, as text and as JSON", async () => {
    const plan = bundledPlan("cordless-brushed");
    const steps = plan.steps.filter(({ id }) => id !== "pack-out");
    const file = write("left-in.json", { ...plan, steps });
    const io = scriptedIo();
    expect(await runProgram(["check-plan", file], io)).toBe(2);
    expect(io.lines.join("\n")).toMatch(/error: at \$\.steps\[\d+\]\.condition.*\[powered-ohms\]/);
    const json = scriptedIo();
    expect(await runProgram(["check-plan", file, "--json"], json)).toBe(2);
    const findings = json.lines.map((line) => JSON.parse(line) as { code: string; step: string });
    expect(findings).toContainEqual(
      expect.objectContaining({ level: "error", code: "powered-ohms", step: "switch-works" }),
    );
  });

  it("names file and place of what it cannot read", async () => {
    const io = scriptedIo();
    expect(await runProgram(["check-plan", write("broken.json", "{")], io)).toBe(2);
    expect(io.messages.join()).toContain("broken.json");
    expect(io.messages.join()).toContain("[plan/not-json]");
  });

  it("and such a plan is not run either", async () => {
    const plan = bundledPlan("cordless-brushed");
    const steps = plan.steps.filter(({ id }) => id !== "pack-out");
    const file = write("not-run.json", { ...plan, steps });
    const io = scriptedIo();
    const job = join(folder, "job");
    const argv = ["run", "--plan", file, "--meter", "practice:", "--job", job];
    expect(await runProgram(argv, io)).toBe(2);
    expect(io.messages.join()).toContain("[plan/refused]");
    expect(existsSync(job)).toBe(false);
  });
});

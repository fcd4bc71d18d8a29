import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { planJsonSchema } from "../../../workbench/plan/json-schema.js";
import { loadPlan } from "../../../workbench/plan/load.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";

const file = new URL("../../../docs/plan.schema.json", import.meta.url);

describe("docs/plan.schema.json", () => {
  it("is what the format says now (npm run schema writes it)", () => {
    const published = JSON.parse(readFileSync(file, "utf8")) as unknown;
    expect(published).toEqual(JSON.parse(JSON.stringify(planJsonSchema())));
  });

  it("may be named in a plan file, for editors", () => {
    const plan = { $schema: "./plan.schema.json", ...bundledPlan("cordless-brushed") };
    expect(loadPlan(JSON.stringify(plan), "mine.json").id).toBe("cordless-brushed");
  });
});

// Outside check: an independent JSON Schema implementation (Debian's python3-jsonschema).
const CHECK = `
import json, sys, jsonschema
given = json.load(sys.stdin)
validator = jsonschema.Draft202012Validator(given["schema"])
jsonschema.Draft202012Validator.check_schema(given["schema"])
print(json.dumps([[error.json_path for error in validator.iter_errors(plan)] for plan in given["plans"]]))
`;
const python = spawnSync("python3", ["-c", "import jsonschema"]);
if (python.status !== 0)
  console.log("skipped: JSON Schema by an outside validator; install python3-jsonschema");

describe.skipIf(python.status !== 0)("an outside validator", () => {
  const validate = (plans: unknown[]) => {
    const input = JSON.stringify({ schema: planJsonSchema(), plans });
    const run = spawnSync("python3", ["-c", CHECK], { input, encoding: "utf8" });
    expect(run.stderr).toBe("");
    return JSON.parse(run.stdout) as string[][];
  };

  it("accepts every bundled plan and refuses broken ones at the same place as the loader", () => {
    const plans = bundledPlans();
    expect(validate(plans)).toEqual(plans.map(() => []));
    const { steps, ...rest } = bundledPlan("cordless-brushed");
    const wrongKind = { ...rest, steps: [{ ...steps[1], quantity: "volume" }] };
    const unknownField = { ...rest, extra: 1, steps };
    expect(validate([wrongKind, unknownField])).toEqual([
      expect.arrayContaining(["$.steps[0]"]) as string[],
      ["$"],
    ]);
  });
});

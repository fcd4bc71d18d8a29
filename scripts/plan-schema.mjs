// Writes docs/plan.schema.json from the plan format (after npm run build:node).
import { writeFileSync } from "node:fs";
import { format, resolveConfig } from "prettier";
import { planJsonSchema } from "../dist/workbench/plan/json-schema.js";

const file = new URL("../docs/plan.schema.json", import.meta.url);
const options = { ...(await resolveConfig(file.pathname)), parser: "json" };
writeFileSync(file, await format(JSON.stringify(planJsonSchema()), options));

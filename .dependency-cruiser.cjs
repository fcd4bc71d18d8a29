/** The one allow-list of who may import whom. The compiler's project references say the same. */
const room = (name) => `^${name}/`;
const outside = { dependencyTypes: ["core", "npm", "npm-optional", "npm-dev", "npm-peer"] };

module.exports = {
  allowed: [
    { from: { path: room("protocols") }, to: { path: room("protocols") } },
    { from: { path: room("drivers") }, to: { path: "^(drivers|protocols)/" } },
    { from: { path: room("drivers") }, to: outside },
    { from: { path: "^workbench/contract/" }, to: { path: "^(workbench/contract|protocols)/" } },
    { from: { path: "^workbench/contract/" }, to: { path: "node_modules/zod/" } },
    {
      from: { path: "^workbench/", pathNot: "^workbench/(contract|job|claim|jobs)/" },
      to: { path: "^(workbench|protocols)/", pathNot: "^workbench/(job|claim|jobs)/" },
    },
    {
      // The judging half of the workbench is pure: libraries, yes; Node, no.
      from: { path: "^workbench/", pathNot: "^workbench/(contract|job|claim|jobs)/" },
      to: { dependencyTypes: ["npm"] },
    },
    { from: { path: "^workbench/(job|claim|jobs)/" }, to: { path: "^(workbench|protocols)/" } },
    { from: { path: "^workbench/(job|claim|jobs)/" }, to: outside },
    { from: { path: room("renderer") }, to: { path: "^(renderer|workbench/contract)/" } },
    {
      from: { path: room("renderer") },
      to: { path: room("protocols"), dependencyTypes: ["type-only"] },
    },
    { from: { path: room("renderer") }, to: { dependencyTypes: ["npm", "npm-dev"] } },
    { from: { path: room("electron") }, to: { pathNot: "^(renderer|tests)/" } },
  ],
  allowedSeverity: "error",
  forbidden: [
    { name: "no-cycles", severity: "error", from: {}, to: { circular: true } },
    {
      name: "not-resolvable",
      severity: "error",
      from: {},
      to: { couldNotResolve: true },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.base.json" },
    doNotFollow: { path: "node_modules" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "require", "node", "default", "types"],
      extensions: [".ts", ".tsx", ".js", ".json", ".css"],
    },
  },
};

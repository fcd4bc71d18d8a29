import type { Reporter, TestModule } from "vitest/node";

/**
 * Says once why tests were skipped, and closes a run with its own count in one plain line, for
 * scripts that read the last line.
 */
export default class PlainReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 };
    const reasons = new Set<string>();
    for (const module of modules) {
      let cases = 0;
      for (const test of module.children.allTests()) {
        cases += 1;
        const result = test.result();
        if (result.state !== "pending") count[result.state] += 1;
        if (result.state === "skipped") reasons.add(result.note ?? test.name);
      }
      // A file that does not load has no cases and must not look like success.
      if (cases === 0 && !module.ok()) count.failed += 1;
    }
    for (const reason of reasons) console.log(`skipped: ${reason}`);
    console.log(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
  }
}

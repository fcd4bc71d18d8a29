import type { Reporter, TestModule } from "vitest/node";

/** Closes a run with its own count in one plain line, for scripts that read the last line. */
export default class PlainReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      let cases = 0;
      for (const test of module.children.allTests()) {
        cases += 1;
        const { state } = test.result();
        if (state !== "pending") count[state] += 1;
      }
      // A file that does not load has no cases and must not look like success.
      if (cases === 0 && !module.ok()) count.failed += 1;
    }
    console.log(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
  }
}

import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { _electron } from "playwright-core";
import { expect, it } from "vitest";
import { inRepo } from "./processes.js";

/** Electron's own program, or null where the package came without it. */
function electronProgram(): string | null {
  try {
    const folder = inRepo("node_modules/electron");
    const program = join(folder, "dist", readFileSync(join(folder, "path.txt"), "utf8").trim());
    return existsSync(program) ? program : null;
  } catch {
    return null;
  }
}

it("opens the practice bench in the desktop app itself", { timeout: 120_000 }, async ({ skip }) => {
  const executablePath = electronProgram();
  if (executablePath === null) {
    skip("Electron's program is not on this machine (npx install-electron gets it)");
    return;
  }
  const jobs = mkdtempSync(join(tmpdir(), "leadhand-electron-"));
  const app = await _electron.launch({
    executablePath,
    args: [inRepo("."), "--fault", "switch-open", "--seed", "1"],
    env: { ...process.env, LEADHAND_JOBS: jobs },
  });
  const page = await app.firstWindow();
  expect(page.url()).toBe("leadhand://window/");
  await page.getByTestId("meter-state").filter({ hasText: /live/i }).waitFor();
  expect(await page.evaluate(() => typeof (globalThis as { require?: unknown }).require)).toBe(
    "undefined",
  );
  await app.close();
  rmSync(jobs, { recursive: true, force: true });
});

import axe from "axe-core";
import type { Page } from "playwright-core";

/**
 * Elements whose text does not fit into them, and a page wider than the window; of a `fixed` screen
 * also one that is higher than the window.
 */
export function cutText(page: Page, kind: "fixed" | "scrolling" = "fixed"): Promise<string[]> {
  return page.evaluate((fixed) => {
    const page = document.documentElement;
    const wide = page.scrollWidth > page.clientWidth ? ["page wider than the window"] : [];
    const high =
      fixed && page.scrollHeight > page.clientHeight ? ["page higher than the window"] : [];
    const cut = [...document.querySelectorAll("p, h1, h2, h3, span, button, td, dd, dt, li")]
      .filter((element) => element.closest(".unseen") === null)
      .filter((element) => {
        const box = element.getBoundingClientRect();
        const style = getComputedStyle(element);
        const hidden =
          style.overflowX !== "visible" && element.scrollWidth > element.clientWidth + 1;
        return box.width > 0 && (hidden || box.right > page.clientWidth + 1);
      })
      .map((element) => `${element.tagName} ${element.className}: ${element.textContent}`);
    return [...wide, ...high, ...cut];
  }, kind === "fixed");
}

/** What axe-core finds against WCAG 2.1 A and AA and its own best practices. */
export async function accessibilityFaults(page: Page): Promise<string[]> {
  // The page's policy lets no script in but its own; the debugger's evaluate is not bound by it.
  await page.evaluate(axe.source);
  const found = await page.evaluate(() =>
    (globalThis as unknown as { axe: typeof axe }).axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"],
    }),
  );
  return found.violations.map(
    ({ id, nodes }) =>
      `${id}: ${nodes.map(({ html, failureSummary }) => `${html} ${failureSummary ?? ""}`).join(" | ")}`,
  );
}

import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

/** What a general accessibility checker finds on the page as it stands (WCAG 2.2 A and AA); empty: nothing. */
export async function accessibilityFaults(page: Page): Promise<string[]> {
  // As the checker's own text: our content security policy lets no script tag in.
  const { readFileSync } = await import("node:fs");
  await page.evaluate(readFileSync(axeFile, "utf8"));
  return await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: {
        run(
          options: object,
        ): Promise<{ violations: { id: string; help: string; nodes: { html: string }[] }[] }>;
      };
    };
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    const { violations } = await axe.run({ runOnly: { type: "tag", values: tags } });
    return violations.map(
      ({ id, help, nodes }) =>
        `${id}: ${help}: ${nodes
          .map(({ html }) => html)
          .join(" | ")
          .slice(0, 400)}`,
    );
  });
}

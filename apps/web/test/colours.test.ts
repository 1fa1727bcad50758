import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

const tokens = readFileSync(join(import.meta.dirname, "../src/style/tokens.css"), "utf8");
const palette = (light: string): Record<string, string> => {
  const block = tokens.split(`[data-light="${light}"]`)[1]?.split("}")[0] ?? "";
  return Object.fromEntries(
    [...block.matchAll(/--([\w-]+): (#\w{6});/g)].map(([, name, hex]) => [name, hex]),
  );
};

/** Relative luminance and contrast ratio. WCAG 2.2, definitions "relative luminance" and "contrast ratio". */
function contrast(one: string, two: string): number {
  const luminance = (hex: string) => {
    const [r, g, b] = [1, 3, 5].map((i) => {
      const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    }) as [number, number, number];
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [light, dark] = [luminance(one), luminance(two)].sort((a, b) => b - a) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

for (const light of ["dim", "light"]) {
  test(`text has 4.5:1 and lines 3:1 on every ground, ${light}`, () => {
    const colours = palette(light);
    assert.equal(Object.keys(colours).length, 14, JSON.stringify(colours));
    for (const back of ["ground", "panel", "raised"]) {
      for (const ink of ["text", "quiet", "accent", "keep", "repeat"]) {
        const ratio = contrast(colours[ink]!, colours[back]!);
        assert.ok(ratio >= 4.5, `${ink} on ${back}: ${ratio.toFixed(2)}`);
      }
      for (const line of ["line", "focus"]) {
        const ratio = contrast(colours[line]!, colours[back]!);
        assert.ok(ratio >= 3, `${line} on ${back}: ${ratio.toFixed(2)}`);
      }
    }
    assert.ok(contrast(colours.ink!, colours["accent-fill"]!) >= 4.5);
  });
}

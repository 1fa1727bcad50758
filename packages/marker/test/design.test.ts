import assert from "node:assert/strict";
import { test } from "node:test";
import { MARKER_KINDS, markerDesign, newScaleId } from "../src/index.ts";

for (const kind of MARKER_KINDS) {
  const design = markerDesign(
    kind,
    newScaleId(kind, () => 0.3),
  );
  const xs = design.outline.map(([x]) => x);
  const ys = design.outline.map(([, y]) => y);
  const box = { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };

  test(`${kind}: one tick a millimetre, fives longer, tens longest, each centred on its place`, () => {
    for (const { axis, ticks, lengthMm } of design.edges) {
      assert.equal(ticks.length, lengthMm + 1);
      const length = ({ x0, y0, x1, y1 }: (typeof ticks)[number]["bar"]) =>
        axis === "x" ? y1 - y0 : x1 - x0;
      ticks.forEach(({ mm, rank, bar }, i) => {
        assert.equal(mm, i);
        const centre = axis === "x" ? (bar.x0 + bar.x1) / 2 : (bar.y0 + bar.y1) / 2;
        assert.ok(Math.abs(centre - mm) < 1e-9);
        assert.equal(rank, mm % 10 === 0 ? 2 : mm % 5 === 0 ? 1 : 0);
      });
      const lengths = [1, 5, 10].map((mm) => length(ticks[mm]!.bar));
      assert.ok(lengths[0]! < lengths[1]! - 1 && lengths[1]! < lengths[2]! - 1, String(lengths));
    }
  });

  test(`${kind}: nothing lies over anything else or beyond the cut`, () => {
    const { x, y, sizeMm } = design.code;
    // ISO/IEC 16022 asks for a blank margin of one module on each side of the code.
    const margin = sizeMm / 16;
    const code = { x0: x - margin, y0: y - margin, x1: x + sizeMm + margin, y1: y + sizeMm + margin };
    // Letters are at most as wide as they are high, with little between them.
    const words = design.lettering.map(({ text, x, y, capHeightMm: cap, align }) => {
      const width = text.length * cap * 0.95;
      const x0 = align === "left" ? x : x - width / 2;
      return { x0, y0: y - cap / 2, x1: x0 + width, y1: y + cap / 2, text };
    });
    const parts = [code, ...words, ...design.bars];
    for (const [i, a] of parts.entries()) {
      assert.ok(a.x0 > box.x0 && a.y0 > box.y0 && a.x1 < box.x1 && a.y1 < box.y1, JSON.stringify(a));
      for (const b of parts.slice(i + 1)) {
        const apart = a.x1 <= b.x0 || b.x1 <= a.x0 || a.y1 <= b.y0 || b.y1 <= a.y0;
        assert.ok(apart, `${JSON.stringify(a)} over ${JSON.stringify(b)}`);
      }
    }
  });

  test(`${kind}: carries its unit and its id in plain text`, () => {
    const texts = design.lettering.map(({ text }) => text);
    assert.ok(texts.includes("cm"));
    assert.ok(texts.some((text) => text.endsWith(newScaleId(kind, () => 0.3))));
  });
}

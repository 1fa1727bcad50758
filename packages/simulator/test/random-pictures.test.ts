import assert from "node:assert/strict";
import { test } from "node:test";
import { clutterPicture, renderPicture, scalePicture, standardCamera, standardScene } from "../src/index.ts";
import { linearBetween, NO_LAMPS, PLAIN, take } from "./support.ts";

const SEEDS = Array.from({ length: 60 }, (_, i) => 4100 + i);

test("the same seed gives the same picture of a scale, and so does one of clutter", () => {
  for (const seed of SEEDS.slice(0, 5)) {
    assert.deepEqual(scalePicture(seed), scalePicture(seed));
    assert.deepEqual(clutterPicture(seed), clutterPicture(seed));
  }
});

test("a picture of a scale shows enough of it, and its facts are those of its truth", async () => {
  // One in ten or so is rendered: the rest is checked by what was drawn.
  const rendered = SEEDS.filter((seed) => seed % 20 === 3);
  for (const seed of rendered) {
    const { shot, facts } = scalePicture(seed);
    const { truth } = await renderPicture({ ...shot, camera: { ...shot.camera, noiseLevel: 0 } });
    const main = truth.things.find((thing) => thing.id === "main");
    assert.ok(main, `seed ${seed}`);
    const seen = Math.max(...main.edges.map((e) => e.ticks.filter((t) => t.inPicture).length));
    assert.ok(seen >= facts.graduationsSeen, `seed ${seed}: ${seen} of ${facts.graduationsSeen}`);
    assert.ok(Math.abs(truth.surface.leanDeg - facts.leanDeg) < 3, `seed ${seed}: lean`);
  }
  for (const seed of SEEDS) {
    const { facts } = scalePicture(seed);
    const coarse = facts.kind === "cm only" || facts.kind.startsWith("blocks");
    assert.ok(facts.graduationsSeen >= (coarse ? 3 : 10), `seed ${seed}: ${facts.kind}`);
    assert.ok(facts.pitchPx > 1.5, `seed ${seed}: pitch ${facts.pitchPx}`);
    assert.ok(facts.leanDeg <= 45);
  }
});

test("many seeds give every kind of scale, lean, pitch and condition, and every kind of clutter", () => {
  const seeds = Array.from({ length: 400 }, (_, i) => 20_000 + i);
  const facts = seeds.map((seed) => scalePicture(seed).facts);
  assert.equal(new Set(facts.map((f) => f.kind)).size, 20);
  assert.equal(new Set(facts.map((f) => f.polarity)).size, 2);
  assert.equal(new Set(facts.flatMap((f) => f.conditions)).size, 13);
  for (const [name, share] of [
    ["strong lean", facts.filter((f) => f.leanDeg > 35).length],
    ["fine pitch", facts.filter((f) => f.pitchPx < 4).length],
    ["a part only", facts.filter((f) => f.part).length],
    ["two scales", facts.filter((f) => f.scales === 2).length],
    ["a unit that nobody could tell", facts.filter((f) => !f.unitTold).length],
  ] as const) {
    assert.ok(share >= 8, `${name}: ${share} of 400`);
  }
  assert.equal(new Set(seeds.map((seed) => clutterPicture(seed).facts.kind)).size, 21);
});

test("millimetre paper tells its lines where they are drawn", async () => {
  const picture = await take(
    {
      light: NO_LAMPS,
      things: [
        {
          kind: "pattern",
          pattern: "grid",
          placement: { xMm: 0, yMm: 0 },
          widthMm: 40,
          heightMm: 20,
          pitchMm: 1,
        },
      ],
    },
    { magnification: 0.8 },
  );
  const edge = picture.truth.things[0]!.edges.find((e) => e.edge === "row 10")!;
  assert.equal(edge.ticks.length, 41);
  // Between the lines of the other direction every line is darker than the paper beside it.
  for (const { px } of edge.ticks.filter((t) => t.inPicture && t.rank > 0)) {
    const y = px[1] + 0.5 * edge.pxPerMm;
    const line = linearBetween(picture, px[0], y);
    const paper = linearBetween(picture, px[0] + 0.5 * edge.pxPerMm, y);
    assert.ok(line < 0.95 * paper, `${line} on ${paper}`);
  }
});

test("a tape laid round a limb keeps its length on the surface, a ruler keeps its own", async () => {
  const surface = { shape: "cylinder", radiusMm: 40, axisDeg: 90 } as const;
  const px = async (wraps: boolean): Promise<number> => {
    const scale = {
      kind: "straight-scale",
      placement: { xMm: 0, yMm: 0 },
      lengthMm: 40,
      edges: ["mm"],
    } as const;
    const scene = standardScene({ surface, things: [{ ...scale, wraps }] });
    // From far away the lens sees every part from the same side.
    const camera = standardCamera({ ...PLAIN, focalMm: 1000 });
    const { truth } = await renderPicture({ scene, camera, seed: 1 });
    const { ticks } = truth.things[0]!.edges[0]!;
    return (ticks.at(-1)!.px[0] - ticks[0]!.px[0]) / ((0.25 * 900) / 36);
  };
  // Chord of an arc of 40 mm on a radius of 40 mm: 2 R sin(s / 2R). Perspective takes a little more.
  const chord = 2 * 40 * Math.sin(0.5);
  assert.ok(Math.abs((await px(true)) - chord) < 0.15, "the tape");
  assert.ok(Math.abs((await px(false)) - 40) < 0.15, "the ruler");
});

test("a tick's blur is the disc that the lens formula gives for its distance", async () => {
  const { truth } = await take(
    { things: [{ kind: "straight-scale", placement: { xMm: 0, yMm: 0 }, lengthMm: 40, edges: ["mm"] }] },
    { focusOffsetMm: 12 },
  );
  const { focalMm, fNumber, objectDistanceMm, imageDistanceMm, sensorWidthMm } = truth.camera;
  // 1/f = 1/u + 1/v: the point is sharp at v; similar triangles with the aperture f/N give the disc on the sensor.
  const sharpAtMm = 1 / (1 / focalMm - 1 / objectDistanceMm);
  const discMm = ((focalMm / fNumber) * Math.abs(sharpAtMm - imageDistanceMm)) / sharpAtMm;
  const expected = (discMm * truth.widthPx) / sensorWidthMm;
  const { blurPx } = truth.things[0]!.edges[0]!.ticks[20]!;
  assert.ok(expected > 0.5 && Math.abs(blurPx / expected - 1) < 1e-6, `${blurPx} for ${expected}`);
});

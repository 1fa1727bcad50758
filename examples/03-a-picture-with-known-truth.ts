/**
 * Lesson 3. How far can a reading of a scale be trusted? Only a picture whose truth is known can tell. The virtual
 * camera makes one: here a scale at 1:4, the camera leaning 15°, and the same scale held 12 mm above the skin.
 *
 * Run it: node examples/03-a-picture-with-known-truth.ts
 */
import { magnificationFromPicture } from "@samescale/optics";
import { renderPicture, standardCamera, standardScene } from "@samescale/simulator";

const say = (line = "") => process.stdout.write(`${line}\n`);

// 1. A camera is its numbers. What is not said stays usual: 100 mm, f/16, 36 x 24 mm.
const camera = standardCamera({ magnification: 1 / 4, leanYDeg: 15, widthPx: 900, heightPx: 600 });

// 2. A scene is plain data: what lies where, in millimetres on the skin.
const scale = { kind: "straight-scale", lengthMm: 80, edges: ["mm"] } as const;
const scene = standardScene({
  things: [
    { ...scale, id: "on the skin", placement: { xMm: 0, yMm: 12 } },
    { ...scale, id: "12 mm above", placement: { xMm: 0, yMm: -25, heightMm: 12 } },
  ],
});

// 3. The seed stands for chance. The same seed gives the same picture, byte for byte, on every machine.
const { truth } = await renderPicture({ scene, camera, seed: 1 });

say(`lens to skin      ${truth.camera.objectDistanceMm} mm`);
say(`lean              ${truth.surface.leanDeg.toFixed(2)}°`);
for (const thing of truth.things) {
  const edge = thing.edges[0];
  if (!edge) continue;
  const ratio = magnificationFromPicture(edge.pxPerMm, 36, truth.widthPx);
  say(`${thing.id?.padEnd(17)} ${edge.pxPerMm.toFixed(4)} px/mm, read as 1:${(1 / ratio).toFixed(3)}`);
}

// 4. The lesson: at the middle of a scale that lies along the lean, 15° shorten a millimetre by 1 - cos 15° = 3.4 %,
//    and 12 mm of height at 500 mm lengthen it by about 2.5 %. Neither is seen with the eye.

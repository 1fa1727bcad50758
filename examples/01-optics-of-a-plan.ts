/**
 * Lesson 1. A clinic asks for a hand, front and back, today and again in six weeks. The department shows
 * hands at 1:10. What has to be known before the camera comes out of the bag?
 *
 * Run it: node examples/01-optics-of-a-plan.ts
 */
import {
  balanceForDepth,
  carryRatio,
  circleOfConfusionMm,
  depthOfField,
  effectiveFNumber,
  FRAME_36X24,
  fieldOf,
  flashFNumber,
  focalInForceMm,
  formatRatio,
  GREEN_NM,
  nearestMarkedFNumber,
  objectDistanceMm,
  parseRatio,
  perspectiveChange,
  trapsOf,
} from "@samescale/optics";

const say = (line = "") => process.stdout.write(`${line}\n`);
const row = (...cells: string[]) =>
  say(
    cells
      .map((cell) => cell.padEnd(18))
      .join("")
      .trimEnd(),
  );

// A person types 1:10. From here on it is a number: a tenth of life size.
const magnification = parseRatio("1:10");

// 1. Does a hand fit? The field follows from ratio and sensor alone; no lens can change it.
const field = fieldOf(FRAME_36X24, magnification);
say(
  `1. ${formatRatio(magnification)} on 36 x 24 mm shows ${field.widthMm} x ${field.heightMm} mm: a hand fits.`,
);

// 2. How much room does each lens need, and what do we get? The ratio is the same, the place of the camera is not.
say("\n2. The same ratio through two macro lenses, f/16");
row("lens", "camera to hand", "works as", "depth");
const cocMm = circleOfConfusionMm(FRAME_36X24, "0.030-at-36x24");
for (const focalMm of [60, 100]) {
  const depth = depthOfField({ focalMm, magnification, fNumber: 16, cocMm, pupilRatio: 1 });
  row(
    `${focalMm} mm`,
    `${objectDistanceMm(focalMm, magnification).toFixed(0)} mm`,
    `f/${effectiveFNumber(16, magnification, 1).toFixed(1)}`,
    `${depth.totalMm.toFixed(0)} mm (${depth.form})`,
  );
}

// 3. So take the shorter lens when the room is small? It comes closer, and what is near looks larger: fingers
//    bent 50 mm towards the camera grow against the palm. Two visits must not differ by that.
const [far, near] = [objectDistanceMm(100, magnification) - 50, objectDistanceMm(60, magnification) - 50];
const growth = (perspectiveChange(far, near, 50) - 1) * 100;
say(
  `\n3. Fingers 50 mm above the palm look ${growth.toFixed(1)} % larger with the 60 mm lens than with the 100 mm.`,
);

// 4. Which aperture? A hand is some 40 mm deep. Open, its ends blur; closed, everything does. In between lies the best.
const best = balanceForDepth(
  { focalMm: 100, magnification, pupilRatio: 1, cocMm, wavelengthNm: GREEN_NM },
  40,
);
say(`\n4. For 40 mm of depth f/${nearestMarkedFNumber(best.fNumber)} is sharpest.`);
if (best.sharpRange !== null) {
  const { fromFNumber, toFNumber } = best.sharpRange;
  say(
    `   Anything from f/${fromFNumber.toFixed(1)} to f/${toFNumber.toFixed(1)} keeps it within ${cocMm} mm.`,
  );
}

// 5. The flash stands beside the camera, 1 m from the hand, guide number 20 m at this ISO.
say(`\n5. Flash at 1 m: set f/${flashFNumber(20, 1000, magnification, 1).toFixed(1)}.`);

// 6. The camera in theatre has a smaller sensor. "1:10" can be carried to it in two ways, so we say which.
say("\n6. On 23.5 x 15.6 mm:");
const small = { widthMm: 23.5, heightMm: 15.6 };
say(`   ${carryRatio(magnification, small, { keep: "field", side: "long" }).says}`);
say(`   ${carryRatio(magnification, small, { keep: "ratio" }).says}`);

// 7. Where the formulas stop: a real lens may focus by shortening its focal length. A tape tells. At 1:1 this "100 mm" lens
//    has the subject 310 mm from the sensor mark instead of 400 mm.
say("\n7. What to mind");
say(
  `   Focal length in force at 1:1, from the tape: ${focalInForceMm(310, 1, 0).toFixed(1)} mm, not 100 mm.`,
);
for (const { says } of trapsOf({
  magnification: 1,
  pupilRatio: 0.7,
  focusing: "internal",
  fNumberShown: "marked",
  guideNumberUsed: false,
})) {
  say(`   ${says}`);
}

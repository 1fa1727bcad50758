import assert from "node:assert/strict";
import { test } from "node:test";
import sharp from "sharp";
import { bedsideOfFile, lookOfFile } from "../../src/checks/look-of-file.ts";
import { scaleOfFile } from "../../src/scale/scale-of-file.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { BLUE_CLOTH, frame, HIGH, inArm, LIGHT_SKIN, WIDE } from "./drawn-frame.ts";

const keep = pictureFolder();
const arm = frame((x, y) => (inArm(x, y) ? LIGHT_SKIN : BLUE_CLOTH));
const image = () => sharp(arm.rgb, { raw: { width: WIDE, height: HIGH, channels: 3 } });

test("one decoding gives what two give: the bedside's answer is the scale's and the look's", async () => {
  const file = keep("arm.jpg", await image().jpeg({ quality: 95 }).toBuffer());
  const bedside = await bedsideOfFile({ file });
  const scale = await scaleOfFile({ file });
  assert.deepEqual(bedside.scale, scale);
  assert.deepEqual(bedside.look, await lookOfFile({ file, scale }));
  assert.ok(bedside.seconds.decode > 0 && bedside.seconds.look > 0);
});

test("a picture stored sideways is looked at upright", async () => {
  const file = keep("turned.jpg", await image().withMetadata({ orientation: 6 }).jpeg().toBuffer());
  const { widthPx, heightPx, subject } = await lookOfFile({ file });
  assert.deepEqual([widthPx, heightPx], [HIGH, WIDE]);
  assert.ok(subject.judged && subject.runsOut.top > 0.35 && subject.runsOut.left === 0);
});

test("16 bits a channel are looked at like 8", async () => {
  const file = keep("deep.png", await image().toColourspace("rgb16").png().toBuffer());
  const { subject } = await lookOfFile({ file });
  assert.ok(subject.judged && Math.abs(subject.share - 0.4) < 0.02);
});

test("grey, one pixel, black and white: everything is answered, nothing is judged that cannot be", async () => {
  const one = (colour: string, side: number) =>
    sharp({ create: { width: side, height: side, channels: 3, background: colour } })
      .png()
      .toBuffer();
  for (const [name, bytes] of [
    ["grey.png", await image().greyscale().png().toBuffer()],
    ["pixel.png", await one("#c08870", 1)],
    ["black.png", await one("black", 300)],
    ["white.png", await one("white", 300)],
    ["skin.png", await one("#c08870", 300)],
  ] as const) {
    const answer = await lookOfFile({ file: keep(name, bytes) });
    assert.ok(!answer.focus.subject.judged && !answer.light.judged && !answer.backdrop.judged, name);
    assert.doesNotMatch(JSON.stringify(answer), /null,"u95"|NaN/);
    for (const value of numbersIn(answer)) assert.ok(Number.isFinite(value), name);
  }
});

test("what is no picture is refused by name", async () => {
  const file = keep("notes.jpg", Buffer.from("no picture at all"));
  await assert.rejects(lookOfFile({ file }), (error: Error) => error.message.includes("notes.jpg"));
  await assert.rejects(bedsideOfFile({ file }), (error: Error) => error.message.includes("notes.jpg"));
});

function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  return value !== null && typeof value === "object" ? Object.values(value).flatMap(numbersIn) : [];
}

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import type { FrameAtMeasure, OutlineSaved } from "../src/index.ts";
import { type Signed, signInEveryRole } from "./accounts.ts";
import { openAppWithWound, type WoundFrame } from "./wound-frame.ts";

let at: WoundFrame;
let as: Readonly<Record<Role, Signed>>;
before(async () => {
  at = await openAppWithWound();
  as = await signInEveryRole(at);
});
after(() => at.app.close());

async function ask(
  method: "GET" | "POST",
  path: string,
  payload?: object,
  headers: object = as.photographer,
) {
  const {
    statusCode,
    rawPayload,
    headers: told,
  } = await at.app.inject({
    method,
    url: `/api/measure/${path}`,
    headers: { ...headers },
    ...(payload && { payload }),
  });
  const isJson = String(told["content-type"]).includes("json");
  return { status: statusCode, bytes: rawPayload, answer: isJson ? JSON.parse(rawPayload.toString()) : null };
}
const frame = (rest = "") => `frames/${at.frameId}${rest}`;
const steps = () => [{ do: "click", at: at.within, inside: true }];

test("the scale is read, the outline made from the same steps and measured, within the truth's interval", async () => {
  assert.equal((await ask("GET", frame())).answer.reading, null);
  const { answer: read } = await ask("POST", frame("/reading"), { said: {} });
  const { reading } = read as FrameAtMeasure;
  assert.ok(reading?.scale.found);
  assert.equal(reading.isUnitUnsure, false);
  assert.ok(reading.scale.scales.every(({ unit }) => unit === "mm"));

  const { bytes } = await ask("GET", frame("/pixels"));
  assert.deepEqual(
    [bytes.readUInt32LE(0), bytes.readUInt32LE(4), bytes.length],
    [900, 600, 16 + 900 * 600 * 3],
  );

  const saving = { steps: steps(), readingSha256: reading.sha256, areaMm2: at.areaMm2, isBlind: false };
  const wrong = await ask("POST", frame("/outline"), { ...saving, areaMm2: 2 * at.areaMm2 });
  assert.equal(wrong.answer.code, "OUTLINE_DIFFERS");
  assert.deepEqual(((await ask("GET", frame())).answer as FrameAtMeasure).outlines, []);
  // What the browser shows is worked out from the same pixels, so it names the very area that would be kept.
  const seenMm2 = Number(wrong.answer.message.match(/([\d.]+) mm²/)[1]);
  const saved = await ask("POST", frame("/outline"), { ...saving, areaMm2: seenMm2 });
  const { now, before } = saved.answer as OutlineSaved;
  const kept = now.measurement!.regions[0]!.areaMm2;
  assert.ok(Math.abs(kept.value - at.areaMm2) < kept.u95, `${kept.value} ± ${kept.u95}, truth ${at.areaMm2}`);
  assert.deepEqual([saved.status, now.by, before], [200, "PHOTOGRAPHER", []]);

  const blind = (await ask("GET", frame("?blind=yes"))).answer as FrameAtMeasure;
  assert.deepEqual([blind.outlines, blind.frame.areaMm2], [[], null]);
});

test("outlined unseen: not by whoever has just outlined it, by another, who then sees both", async () => {
  assert.match((await ask("GET", "again")).answer.reason, /within the last 7 days/);
  const chosen = await ask("GET", "again", undefined, as.lead);
  assert.equal(chosen.answer.frameId, at.frameId);
  const { reading } = (await ask("GET", frame("?blind=yes"), undefined, as.lead)).answer as FrameAtMeasure;
  const [kept] = ((await ask("GET", frame())).answer as FrameAtMeasure).outlines;
  const areaMm2 = kept!.measurement!.regions[0]!.areaMm2.value;
  const saving = { steps: steps(), readingSha256: reading!.sha256, areaMm2, isBlind: true };
  const refused = await ask("POST", frame("/outline"), saving);
  assert.deepEqual([refused.status, refused.answer.code], [409, "ACT_REFUSED"]);
  const { now, before } = (await ask("POST", frame("/outline"), saving, as.lead)).answer as OutlineSaved;
  assert.deepEqual([now.isBlindRepeat, now.by, before.length], [true, "LEAD", 1]);
});

test("two points by hand: the tolerance that was said is in the interval; nothing is kept by trying", async () => {
  const { reading } = (await ask("GET", frame())).answer as FrameAtMeasure;
  const scale = reading!.scale;
  assert.ok(scale.found);
  const { ticks, pxPerMm } = scale.scales[0]!;
  const [a, b] = [ticks[5]!, ticks[55]!];
  const twoPoints = { from: [a.x, a.y], to: [b.x, b.y], lengthMm: b.mm - a.mm };
  const width = async (more: object) => {
    const { answer } = await ask("POST", frame("/try-reading"), {
      said: { twoPoints: { ...twoPoints, ...more } },
    });
    const { value, u95 } = answer.scales[0].pxPerMm;
    assert.ok(Math.abs(value / pxPerMm.value - 1) < 0.02);
    return u95 / value;
  };
  const [plain, loose] = [await width({}), await width({ toleranceMm: 5 })];
  assert.ok(plain < 0.02 && Math.abs(loose - Math.hypot(plain, 0.1)) < 1e-6, `${plain} ${loose}`);
  assert.equal(((await ask("GET", frame())).answer as FrameAtMeasure).reading!.sha256, reading!.sha256);
});

test("bad input is refused with what is wrong, and measures nothing", async () => {
  const { reading } = (await ask("GET", frame())).answer as FrameAtMeasure;
  const good = { steps: steps(), readingSha256: reading!.sha256, areaMm2: at.areaMm2, isBlind: false };
  const count = async () => ((await ask("GET", frame())).answer as FrameAtMeasure).outlines.length;
  const before = await count();
  for (const bad of [
    { ...good, steps: [] },
    { ...good, steps: [{ do: "guess", at: [1, 1] }] },
    { ...good, steps: [{ do: "click", at: [1, "1"], inside: true }] },
    { ...good, steps: [{ do: "click", at: [1, 1, 1], inside: true }] },
    { ...good, steps: Array.from({ length: 1001 }, () => steps()[0]) },
    { ...good, steps: [{ do: "brush", points: [[5, 5]], radiusPx: -4, inside: true }] },
    { ...good, areaMm2: 0 },
    { ...good, said: { limb: { girthMm: -1 } } },
    { ...good, more: 1 },
  ]) {
    assert.equal((await ask("POST", frame("/outline"), bad)).status, 400, JSON.stringify(bad).slice(0, 200));
  }
  const stale = await ask("POST", frame("/outline"), { ...good, readingSha256: "0".repeat(64) });
  assert.equal(stale.answer.code, "READING_CHANGED");
  const beside = await ask("POST", frame("/outline"), {
    ...good,
    steps: [{ do: "click", at: [40_000, 5], inside: true }],
  });
  assert.equal(beside.status, 409);
  assert.equal(await count(), before);
  for (const said of [
    { kind: "ell" },
    { twoPoints: { from: [1, 1], to: [1, 1], lengthMm: 5 } },
    { scaleHeightMm: 1e9 },
  ]) {
    assert.equal((await ask("POST", frame("/try-reading"), { said })).status, 400, JSON.stringify(said));
  }
});

test("only who makes pictures measures; what others may not see is not there", async () => {
  const made = { steps: steps(), readingSha256: "0".repeat(64), areaMm2: 1, isBlind: false };
  for (const role of ["viewer", "requester", "auditor", "administrator"] as const) {
    assert.equal((await ask("POST", frame("/outline"), made, as[role])).status, 403, role);
    assert.equal((await ask("POST", frame("/reading"), { said: {} }, as[role])).status, 403, role);
    assert.equal((await ask("GET", frame("/pixels"), undefined, as[role])).status, 403, role);
    assert.equal((await ask("GET", "again", undefined, as[role])).status, 403, role);
  }
  for (const role of ["viewer", "requester"] as const) {
    assert.equal((await ask("GET", frame(), undefined, as[role])).answer.code, "FRAME_UNKNOWN", role);
  }
  for (const path of ["", "/pixels"]) {
    const nobodys = await ask("GET", `frames/01KT438XG0K6R2VW1H1SQHSZ0Z${path}`);
    assert.deepEqual([nobodys.status, nobodys.answer.code], [404, "FRAME_UNKNOWN"]);
  }
});

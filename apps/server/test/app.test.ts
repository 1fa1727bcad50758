import assert from "node:assert/strict";
import { test } from "node:test";
import type { ContactSheet, SheetFrame } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { buildApp } from "../src/index.ts";

const SHA = "ab".repeat(32);
const frame = (fields: Partial<SheetFrame>): SheetFrame => ({
  frameId: "f1",
  sha256: SHA,
  fileName: "VC010001.JPG",
  takenAt: "2026-03-02T10:04:00",
  viewName: "Close-up",
  ratioPlanned: 0.25,
  ratioRead: { value: 0.2001, u95: 0.0004 },
  leanDeg: { value: 12.2, u95: 1.1 },
  areaMm2: null,
  verdict: "repeat",
  say: "Move 10 cm closer.",
  isLabelFrame: false,
  ...fields,
});
const sheet = (frames: readonly SheetFrame[], unplaced: readonly SheetFrame[] = []): ContactSheet => ({
  requests:
    frames.length === 0
      ? []
      : [
          {
            requestCode: "RQ-1",
            title: "Leg wound",
            visits: [{ visitId: "v1", date: "2026-03-02", frames, missingViews: ["Location"] }],
          },
        ],
  unplaced,
});
const app = (contents: ContactSheet) =>
  buildApp({
    title: "Invented department",
    contactSheet: async () => contents,
    thumbnail: async (sha256) => (sha256 === SHA ? new Uint8Array([0xff, 0xd8]) : null),
    shotCard: async (requestCode) => {
      if (requestCode === "RQ-1")
        return { html: "<h1>RQ-1</h1>", contentSecurityPolicy: "default-src 'none'; script-src 'sha256-x'" };
      throw new SamescaleError(
        "REQUEST_UNKNOWN",
        `The library has no request "${requestCode}"`,
        "Check the code.",
      );
    },
  });
const get = async (contents: ContactSheet, url: string, host = "127.0.0.1:8000") =>
  await app(contents).inject({ url, headers: { host } });

test("the page shows planned and read ratio, lean, verdict and what to do", async () => {
  const { body, statusCode } = await get(sheet([frame({})]), "/");
  assert.equal(statusCode, 200);
  for (const words of ["1:4", "1:5", "12.2 ± 1.1°", "repeat", "Move 10 cm closer.", "Not made: Location"]) {
    assert.ok(body.includes(words), words);
  }
});

test("names from a card cannot write into the page", async () => {
  const hostile = `"><script>alert(1)</script>.JPG`;
  const { body } = await get(sheet([frame({ fileName: hostile, say: hostile, viewName: hostile })]), "/");
  assert.ok(!body.includes("<script"));
});

test("frames that wait for a person come first and say why", async () => {
  const { body } = await get(sheet([frame({})], [frame({ viewName: null, verdict: null, say: "" })]), "/");
  assert.ok(body.indexOf("Waiting for a person") < body.indexOf("RQ-1"));
});

test("an empty library says what to do next", async () => {
  assert.match((await get(sheet([]), "/")).body, /take-in/);
});

test("a request under another host name is refused", async () => {
  for (const host of ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example:80"]) {
    const answer = await get(sheet([]), "/", host);
    assert.equal(answer.statusCode, 421, host);
    assert.doesNotMatch(answer.body, /Contact sheet/);
  }
});

test("a thumbnail is named by its hash and nothing else reaches the store", async () => {
  assert.equal((await get(sheet([]), `/thumbnail/${SHA}`)).headers["content-type"], "image/jpeg");
  for (const name of ["x", `${SHA}0`, "..%2f..%2fetc%2fpasswd", "cd".repeat(32), SHA.toUpperCase()]) {
    assert.equal((await get(sheet([]), `/thumbnail/${name}`)).statusCode, 404, name);
  }
});

test("pages are not kept by the browser, not framed, and load nothing from elsewhere", async () => {
  const { headers } = await get(sheet([]), "/");
  assert.equal(headers["cache-control"], "no-store");
  assert.match(String(headers["content-security-policy"]), /default-src 'none'.*frame-ancestors 'none'/);
  assert.equal(headers["x-content-type-options"], "nosniff");
});

test("unknown pages and methods are told plainly", async () => {
  assert.equal((await get(sheet([]), "/nothing")).statusCode, 404);
  const posted = await app(sheet([])).inject({ method: "POST", url: "/", headers: { host: "127.0.0.1" } });
  assert.equal(posted.statusCode, 404);
});

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

test("every text colour has 4.5:1 on panel and ground, lines 3:1, in both lights", async () => {
  const css = (await get(sheet([]), "/style.css")).body;
  const palettes = [
    ...css.matchAll(
      /--ground: (#\w+); --panel: (#\w+); --surround: #\w+; --text: (#\w+); --quiet: (#\w+); --line: (#\w+);\s+--accent: (#\w+); --keep: (#\w+); --repeat: (#\w+);/g,
    ),
  ];
  assert.equal(palettes.length, 2);
  for (const [
    ,
    ground,
    panel,
    text,
    quiet,
    line,
    accent,
    keep,
    repeat,
  ] of palettes as unknown as string[][]) {
    for (const back of [ground, panel] as string[]) {
      for (const ink of [text, quiet, accent, keep, repeat] as string[]) {
        assert.ok(contrast(ink, back) >= 4.5, `${ink} on ${back}: ${contrast(ink, back).toFixed(2)}`);
      }
    }
    assert.ok(contrast(line as string, panel as string) >= 3, `${line} on ${panel}`);
  }
});

test("a request's shot card is shown with the policy that its page asks for; others keep the usual one", async () => {
  assert.match((await get(sheet([frame({})]), "/")).body, /href="\/requests\/RQ-1\/card"/);
  const card = await get(sheet([]), "/requests/RQ-1/card");
  assert.equal(card.statusCode, 200);
  assert.equal(card.body, "<h1>RQ-1</h1>");
  assert.equal(card.headers["content-security-policy"], "default-src 'none'; script-src 'sha256-x'");
  assert.equal(card.headers["cache-control"], "no-store");
  assert.match(String((await get(sheet([]), "/")).headers["content-security-policy"]), /style-src 'self'/);
});

test("the card of a request that is not there is not found, in words", async () => {
  for (const code of ["RQ-9", "..%2f..%2fetc", "%3Cscript%3E"]) {
    const { statusCode, body, headers } = await get(sheet([]), `/requests/${code}/card`);
    assert.equal(statusCode, 404, code);
    assert.match(body, /no request/);
    assert.match(String(headers["content-type"]), /^text\/plain/);
  }
});

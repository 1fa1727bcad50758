import assert from "node:assert/strict";
import { copyFile, mkdir, mkdtemp, rename, rm, symlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import {
  actorOfThisMachine,
  addRequest,
  type Desk,
  doneOrThrow,
  openDesk,
  planRequest,
  readPracticeFolder,
} from "@samescale/desk";
import { renderPicture, standardCamera, standardScene, writePicture } from "@samescale/simulator";
import type { BedsideList, BedsideNow } from "../src/index.ts";
import { type App, openApp } from "./harness.ts";

const DEMO_PRACTICE = join(import.meta.dirname, "../../cli/demo-practice");
const SIZE = { widthPx: 960, heightPx: 640 };
const OWN = { host: "127.0.0.1", "x-samescale": "1" };

let root: string;
let desk: Desk;
let app: App;
let arriving: string;
let made: { readonly right: string; readonly tooLarge: string };

/** A close-up at a ratio, as a camera would write it. */
async function shot(name: string, magnification: number): Promise<string> {
  const file = join(root, name);
  const camera = standardCamera({ ...SIZE, magnification });
  const things = [
    { kind: "l-scale", placement: { xMm: -25, yMm: -20, rotateDeg: 2 }, legMm: 60 },
    { kind: "wound", placement: { xMm: 14, yMm: 9 }, seed: 5, lengthMm: 40, widthMm: 26 },
  ] as const;
  await writePicture(
    file,
    await renderPicture({ scene: standardScene({ things }), camera, seed: 3 }),
    camera,
  );
  return file;
}

async function openBedside(): Promise<App> {
  return await openApp({
    desk,
    personHere: () => actorOfThisMachine(desk, "tester"),
    practice: () => readPracticeFolder(DEMO_PRACTICE),
    practiceFolder: async () => DEMO_PRACTICE,
  });
}

before(async () => {
  root = await mkdtemp(join(tmpdir(), "samescale-bedside-"));
  arriving = join(root, "arriving");
  await mkdir(arriving);
  desk = await openDesk(join(root, "library"));
  const actor = await actorOfThisMachine(desk, "tester");
  const practice = await readPracticeFolder(DEMO_PRACTICE);
  const details = {
    title: "Left lower leg: wound",
    cautions: [{ kind: "infection", note: "contact precautions" }],
  };
  const wanted = { kind: "non-clinical", code: "R-1", patientId: null, details } as const;
  const requestId = doneOrThrow(await addRequest(desk, actor, wanted)).id;
  doneOrThrow(await planRequest(desk, actor, { requestId, viewSetKey: "leg-wound-plane" }, practice));
  made = { right: await shot("right.jpg", 0.25), tooLarge: await shot("large.jpg", 0.27) };
  app = await openBedside();
});
after(async () => {
  await app.close();
  await desk.close();
  await rm(root, { recursive: true, force: true });
});

const now = async (): Promise<BedsideNow> =>
  (await app.inject({ url: "/api/bedside/R-1", headers: OWN })).json<BedsideNow>();
const post = (url: string, payload: object) => app.inject({ method: "POST", url, headers: OWN, payload });
const ends = async (what: (now: BedsideNow) => boolean): Promise<BedsideNow> => {
  for (let tries = 0; tries < 200; tries++) {
    const state = await now();
    if (what(state)) return state;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  assert.fail(`not within 20 s: ${JSON.stringify(await now())}`);
};
/** As receivers do: under a passing name first. */
async function arrive(from: string, name: string): Promise<void> {
  await copyFile(from, join(arriving, `.${name}.part`));
  await rename(join(arriving, `.${name}.part`), join(arriving, name));
}

test("what can be begun is listed: open, planned requests and the folders that may be watched", async () => {
  const { running, choices, arrivals } = (
    await app.inject({ url: "/api/bedside", headers: OWN })
  ).json<BedsideList>();
  assert.deepEqual(running, []);
  assert.deepEqual(
    choices.map(({ code, title }) => [code, title]),
    [["R-1", "Left lower leg: wound"]],
  );
  assert.equal(arrivals.anyFolder, true);
});

test("folders that are none, lie in the library or are named crookedly are refused", async () => {
  await symlink(join(root, "library"), join(root, "link"));
  for (const folder of [
    "arriving",
    "../arriving",
    join(root, "nowhere"),
    root,
    join(root, "library"),
    join(root, "link"),
  ]) {
    const answer = await post("/api/bedside/R-1/begin", { folder });
    assert.equal(answer.statusCode, 400, folder);
  }
  assert.equal((await post("/api/bedside/R-1/begin", { folder: 7 })).statusCode, 400);
  assert.equal((await post("/api/bedside/R-99/begin", { folder: arriving })).statusCode, 404);
  assert.equal((await now()).state, "not-begun");
});

test("frames are judged as they arrive; a person's word counts, survives a new server, and is taken back", async () => {
  assert.equal((await post("/api/bedside/R-1/begin", { folder: arriving })).statusCode, 200);
  const ready = await ends(({ state }) => state === "running");
  assert.deepEqual(
    ready.views.map(({ key, isMade }) => [key, isMade]),
    [
      ["close-up", false],
      ["location", false],
    ],
  );
  assert.ok(ready.cautions.includes("Infection: contact precautions"));
  assert.ok(ready.cautions.some((says) => says.startsWith("Infection control")));

  await arrive(made.tooLarge, "A1.JPG");
  const first = await ends(({ frames }) => frames[0]?.judged != null);
  assert.equal(first.frames[0]?.judged?.verdict, "repeat");
  assert.match(first.frames[0]?.judged?.say ?? "", /^Move \d+ cm back/);
  assert.equal(first.views[0]?.isMade, false, "what is to be repeated is not made");

  await arrive(made.right, "A2.JPG");
  const second = await ends(({ frames }) => frames[0]?.fileName === "A2.JPG" && frames[0].judged !== null);
  assert.equal(second.frames[0]?.judged?.verdict, "keep");
  assert.equal(second.views[0]?.isMade, true);

  const { id } = second.frames[0]!;
  const picture = await app.inject({ url: `/api/bedside/R-1/frames/${id}/picture`, headers: OWN });
  assert.equal(picture.headers["content-type"], "image/jpeg", picture.body);
  assert.equal(
    (await app.inject({ url: `/api/bedside/R-1/frames/${"0".repeat(32)}/picture`, headers: OWN })).statusCode,
    404,
  );
  assert.equal(
    (await app.inject({ url: "/api/bedside/R-1/frames/..%2f..%2fetc/picture", headers: OWN })).statusCode,
    400,
  );

  const word = `/api/bedside/R-1/frames/${id}/word`;
  assert.equal((await post(word, { said: "not-judged" })).statusCode, 400);
  assert.deepEqual((await post(word, { said: "repeat" })).json(), { before: null });
  assert.equal((await now()).views[0]?.isMade, false);

  await app.close();
  app = await openBedside();
  const list = (await app.inject({ url: "/api/bedside", headers: OWN })).json<BedsideList>();
  assert.deepEqual(
    list.running.map(({ code, folder }) => [code, folder]),
    [["R-1", arriving]],
  );
  assert.equal((await now()).state, "resting");
  assert.deepEqual((await post("/api/bedside/R-1/go-on", {})).json(), { goesOn: true });
  const again = await ends(
    ({ frames }) => frames.length === 2 && frames.every(({ judged }) => judged !== null),
  );
  const one = again.frames.find((frame) => frame.id === id);
  assert.equal(one?.word?.said, "repeat");
  assert.equal(again.views[0]?.isMade, false, "the word of before still counts");
  assert.deepEqual((await post(word, { said: null })).json(), { before: "repeat" });
  assert.equal((await now()).views[0]?.isMade, true);
});

test("a frame that is deleted is no view made, and counts again when it is back", async () => {
  await rename(join(arriving, "A2.JPG"), join(root, "away.jpg"));
  await ends(({ frames, views }) => frames.length === 1 && views[0]?.isMade === false);
  await rename(join(root, "away.jpg"), join(arriving, "A2.JPG"));
  await ends(({ frames, views }) => frames.length === 2 && views[0]?.isMade === true);
});

test("ending tells what was made; a session that ended is over", async () => {
  assert.deepEqual((await post("/api/bedside/R-1/end", {})).json(), {
    made: ["close-up"],
    missing: ["location"],
  });
  assert.equal((await now()).state, "not-begun");
  const { id } = { id: "0".repeat(32) };
  assert.equal((await post(`/api/bedside/R-1/frames/${id}/word`, { said: "keep" })).statusCode, 404);
  assert.deepEqual((await post("/api/bedside/R-1/go-on", {})).json(), { goesOn: false });
});

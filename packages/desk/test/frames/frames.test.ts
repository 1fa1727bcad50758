import assert from "node:assert/strict";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import {
  type Actor,
  doneOrThrow,
  foundFrames,
  frameFacts,
  history,
  judgeByHand,
  markSensitive,
  openDesk,
  storeReading,
  storeVerdict,
  trashFrames,
  undoJudging,
} from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  LEG_LABEL,
  MARA,
  makeCard,
  NOON,
  takeAll,
  temporaryFolder,
} from "../support.ts";

const EVERYTHING = {
  ...{ text: "", requestId: null, visitId: null, aside: false, facets: {}, from: null, until: null },
  ...{ after: null, limit: 50 },
};
const VIEWER: Actor = { name: "vic", role: "viewer" };

/** A clock that goes on: which row is the newest is told by when it was written. */
async function threeFrames(t: TestContext) {
  let seconds = 0;
  const clock = () => new Date(NOON.getTime() + 1000 * seconds++);
  const desk = await openDesk(join(await temporaryFolder(t), "library"), { clock });
  t.after(() => desk.close());
  const { leg } = await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/100CLINI/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100CLINI/DSC_0002.JPG": { taken: "2026:03:15 09:01:00" },
    "DCIM/100CLINI/DSC_0003.JPG": { taken: "2026:03:15 09:02:00" },
  });
  await takeAll(desk, [card]);
  const { frames } = await foundFrames(desk, MARA, EVERYTHING);
  const [third, second, label] = frames;
  assert.deepEqual([third?.name, second?.name, label?.kind], ["DSC_0003.JPG", "DSC_0002.JPG", "label"]);
  const check = async (frame: typeof third) => {
    const reading = doneOrThrow(
      await storeReading(desk, MARA, {
        frameId: frame!.frameId,
        recipe: { step: "scale", version: 1, parameters: {} },
        inputs: [frame!.sha256],
        body: { found: false, reason: "No ruled edge", widthPx: 6000, heightPx: 4000 },
      }),
    );
    doneOrThrow(
      await storeVerdict(desk, MARA, {
        frameId: frame!.frameId,
        recipe: { step: "check", version: 2, parameters: {} },
        inputs: [reading.sha256],
        body: {
          ...{ verdict: "repeat", say: "Move 3 cm back.", findings: [], notJudged: ["lean"] },
          ...{ view: "close", viewName: "Close-up", ratioPlanned: 0.25 },
        },
      }),
    );
  };
  await check(second);
  return { desk, leg, second: second!, third: third!, label: label! };
}

test("filters say how many frames there are and how many they leave; places narrow what is counted", async (t) => {
  const { desk, leg, second, third } = await threeFrames(t);
  const repeat = await foundFrames(desk, MARA, { ...EVERYTHING, facets: { verdict: ["repeat"] } });
  assert.deepEqual(
    repeat.frames.map(({ frameId, view, ratioPlanned }) => [frameId, view?.name, ratioPlanned]),
    [[second.frameId, "Close-up", 0.25]],
  );
  assert.deepEqual([repeat.counted?.shown.matches, repeat.counted?.all.matches], [1, 3]);
  const noScale = await foundFrames(desk, MARA, { ...EVERYTHING, facets: { scale: ["not-found"] } });
  assert.deepEqual(
    noScale.frames.map(({ frameId }) => frameId),
    [second.frameId],
  );
  doneOrThrow(await trashFrames(desk, MARA, { frameIds: [third.frameId], because: "blurred" }));
  const inLeg = await foundFrames(desk, MARA, { ...EVERYTHING, requestId: leg });
  assert.deepEqual([inLeg.counted?.all.matches, inLeg.counted?.aside], [2, 1]);
  const aside = await foundFrames(desk, MARA, { ...EVERYTHING, aside: true });
  assert.deepEqual(
    aside.frames.map(({ name, asideBecause }) => [name, asideBecause]),
    [["DSC_0003.JPG", "blurred"]],
  );
});

test("what a person says counts, keeps the check beside it, stands in the history, and is taken back exactly", async (t) => {
  const { desk, second, third } = await threeFrames(t);
  const { frameId } = second;
  const before = doneOrThrow(await judgeByHand(desk, MARA, { frameId, verdict: "keep" }));
  doneOrThrow(await judgeByHand(desk, MARA, { frameId, note: "no room to step back" }));
  const facts = await frameFacts(desk, MARA, frameId);
  assert.deepEqual(
    [facts?.verdict, facts?.isByHand, facts?.checkSaid, facts?.note, facts?.view?.key, facts?.noRatio],
    ["keep", true, "Move 3 cm back.", "no room to step back", "close", "No ruled edge"],
  );
  doneOrThrow(await undoJudging(desk, MARA, before));
  const after = await frameFacts(desk, MARA, frameId);
  assert.deepEqual([after?.verdict, after?.isByHand, after?.note], ["repeat", false, null]);
  const told = await history(desk, MARA, `frame/${frameId}`);
  assert.deepEqual(
    told?.map(({ act }) => act).filter((act) => act.startsWith("frame.judge")),
    ["frame.judge", "frame.judge", "frame.judge-undo"],
  );
  // A frame that nobody checked can be kept, and goes back to not judged.
  const none = doneOrThrow(await judgeByHand(desk, MARA, { frameId: third.frameId, verdict: "repeat" }));
  assert.equal(none.verdictId, null);
  doneOrThrow(await undoJudging(desk, MARA, none));
  assert.equal((await frameFacts(desk, MARA, third.frameId))?.verdict, "not-judged");
  assert.deepEqual(await faultsOf(desk), []);
});

test("nonsense is refused, and nobody else judges", async (t) => {
  const { desk, second, third } = await threeFrames(t);
  const refused = async (input: Parameters<typeof judgeByHand>[2], actor: Actor = MARA) => {
    const outcome = await judgeByHand(desk, actor, input);
    return outcome.done ? "done" : outcome.reason;
  };
  assert.match(await refused({ frameId: "nobody", verdict: "keep" }), /no frame nobody/);
  assert.match(await refused({ frameId: second.frameId }), /verdict or write a note/);
  assert.match(await refused({ frameId: second.frameId, note: "a\nb" }), /one line/);
  assert.match(await refused({ frameId: second.frameId, note: "x".repeat(501) }), /500/);
  assert.match(await refused({ frameId: second.frameId, verdict: "keep" }, VIEWER), /not for the role/);
  const other = doneOrThrow(await judgeByHand(desk, MARA, { frameId: second.frameId, verdict: "keep" }));
  const swapped = await undoJudging(desk, MARA, { ...other, frameId: third.frameId });
  assert.match(swapped.done ? "done" : swapped.reason, /never had the verdict/);
});

test("a sensitive frame is in no list, count or facts of those for whom it is not", async (t) => {
  const { desk, second } = await threeFrames(t);
  const all = await foundFrames(desk, VIEWER, EVERYTHING);
  assert.equal(all.counted?.all.matches, 3);
  doneOrThrow(
    await markSensitive(desk, MARA, {
      of: { frameId: second.frameId },
      categories: ["intimate"],
      because: "as asked",
    }),
  );
  const now = await foundFrames(desk, VIEWER, EVERYTHING);
  assert.deepEqual([now.counted?.all.matches, now.frames.length], [2, 2]);
  assert.equal(await frameFacts(desk, VIEWER, second.frameId), null);
});

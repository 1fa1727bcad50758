import type { WentOut } from "../../../src/consent/went-out.ts";
import {
  cancelRequest,
  changeAccount,
  confirmMask,
  type Desk,
  giveConsent,
  markSensitive,
  namePortrayed,
  type Outcome,
  openInEmergency,
  placeFrames,
  refuseConsent,
  reopenRequest,
  undoPlacing,
  unnamePortrayed,
  withdrawConsent,
} from "../../../src/index.ts";
import { NOTHING_THERE } from "../../release/photographed.ts";
import { type Act, BORN, DE_IDENTIFIED, NAMES, PATIENT_OF_REQUEST, sayAct } from "./acts.ts";
import { LiteralModel, publicationOf, type Release, type Said } from "./literal-model.ts";
import {
  actorIn,
  answerTo,
  type Exit,
  foldersIn,
  makeWorld,
  seenIn,
  type World,
  waitingIn,
} from "./world.ts";

/** Where desk and model part, after which act. */
export interface Parted {
  readonly at: number;
  readonly says: string;
}

export interface Counts {
  acts: number;
  tried: number;
  left: number;
  accepted: Record<string, number>;
  /** Why the others had to stay, by the model. */
  stayed: Record<string, number>;
}

/** Does the acts, one after the other, and compares with the model after each; null: they agreed throughout. */
export async function runActs(
  next: readonly Act[] | ((model: LiteralModel) => Act | null),
  exit: Exit,
  counts: Counts = { acts: 0, tried: 0, left: 0, accepted: {}, stayed: {} },
  atTheEnd: (desk: Desk) => Promise<void> = async () => {},
): Promise<Parted | null> {
  const model = new LiteralModel();
  const world = await makeWorld(() => new Date(model.now));
  try {
    const seen = new Set<string>();
    const nth = (at: number) => (typeof next === "function" ? next(model) : (next[at] ?? null));
    for (let at = 0, act = nth(0); act !== null; act = nth(++at)) {
      model.now += act.afterS * 1000;
      counts.acts++;
      const says = await step(world, model, act, exit, seen, counts);
      if (says !== null) return { at, says };
    }
    await atTheEnd(world.desk);
    return null;
  } finally {
    await world.close();
  }
}

async function step(
  world: World,
  model: LiteralModel,
  act: Act,
  exit: Exit,
  seen: Set<string>,
  counts: Counts,
): Promise<string | null> {
  if (act.is !== "release") {
    const says = await change(world, model, act, counts);
    if (says !== null) return says;
    const more = (await foldersIn(world)).filter((name) => !seen.has(name));
    return more.length === 0 ? null : `something left without a release: ${more.join(", ")}`;
  }
  counts.tried++;
  const why = model.whyItStays(act);
  const lastDay = why === null ? model.lastDayOf(act) : null;
  const outcome = await exit(world, actorIn(world, act.by, model.roleIn(act)), wantedBy(world, model, act));
  const folders = (await foldersIn(world)).filter((name) => !seen.has(name));
  for (const name of folders) seen.add(name);
  if ((await waitingIn(world)).length > 0) return "something still waits to leave";
  if (why !== null) {
    const kind = why.replace(/\d[\d-]*/g, "#");
    counts.stayed[kind] = (counts.stayed[kind] ?? 0) + 1;
    if (folders.length === 0 && !outcome.done) return null;
    return `it left, and must not: ${why}`;
  }
  if (!outcome.done) return `it may leave, and was refused: ${outcome.reason}`;
  if (folders.length !== 1) return `it left in ${folders.length} folders`;
  counts.left++;
  world.releases.push(outcome.id);
  const { request, scope, pictures } = act;
  const patient = PATIENT_OF_REQUEST[request]!;
  model.left.push({ request, patient, scope, publication: publicationOf(act.publication), pictures });
  return await whatLeft(world, act, folders[0]!, outcome.id, lastDay);
}

/** The bytes that lie there now, and the end that was promised. */
async function whatLeft(
  world: World,
  { pictures, scope, request }: Release,
  folder: string,
  id: string,
  lastDay: string | null,
): Promise<string | null> {
  const there = await seenIn(world, folder);
  const wanted = pictures.toSorted((a, b) => a - b);
  if (there.pictures.join() !== wanted.join()) {
    return `pictures ${wanted.join(", ")} may leave, and ${there.pictures.join(", ")} are there`;
  }
  const patient = PATIENT_OF_REQUEST[request]!;
  const names = patient === null ? [] : [`HN${patient}0000${patient}`, `Invented Patient ${patient}`];
  if (DE_IDENTIFIED.includes(scope) && names.some((name) => there.text.includes(name))) {
    return "who it is stands in what left without identity";
  }
  const row = await world.desk.library.read
    .selectFrom("release")
    .select("expires_on")
    .where("id", "=", id)
    .executeTakeFirstOrThrow();
  return row.expires_on === lastDay
    ? null
    : `it may be used until ${lastDay}, and is until ${row.expires_on}`;
}

function wantedBy(world: World, model: LiteralModel, act: Release): Parameters<Exit>[2] {
  const { request, pictures, scope, publication, to, untilInDays } = act;
  return {
    requestId: world.requests[request]!,
    frames: pictures.map((i) => world.pictures[i]!),
    scope,
    to,
    purpose: "a test",
    publication: publicationOf(publication),
    project: scope === "research" ? "Study" : null,
    expiresOn: untilInDays === null ? null : model.dayIn(untilInDays),
  };
}

/** Does what is no release, and notes what was accepted; a sentence where it should have been. */
async function change(
  world: World,
  model: LiteralModel,
  act: Exclude<Act, Release>,
  counts: Counts,
): Promise<string | null> {
  const { desk, keeper, administrator } = world;
  const because = "as said";
  const noted = <T>(outcome: Outcome<T>, note: (value: T) => void): boolean => {
    if (!outcome.done) return false;
    counts.accepted[act.is] = (counts.accepted[act.is] ?? 0) + 1;
    note(outcome.value);
    return true;
  };
  switch (act.is) {
    case "give":
    case "refuse": {
      const does = act.is === "give" ? giveConsent : refuseConsent;
      const asked = act.is === "refuse" ? { ...act, untilInDays: null } : act;
      const outcome = await does(desk, keeper, answerTo(world, asked, model.now));
      if (!outcome.done) return null;
      const note = model.noteOf(asked, act.is === "give" ? "yes" : "no");
      noted(outcome, ({ id }) => {
        model.said.set(act.number, note);
        world.answers.set(act.number, id);
      });
      return act.is === "give" ? null : await told(world, model, note, outcome.value.wentOut);
    }
    case "narrow":
      return await narrow(world, model, act, counts);
    case "withdraw": {
      const word = model.said.get(act.answer);
      if (!word) return null;
      const at = model.now - act.hoursAgo * 3_600_000;
      const outcome = await withdrawConsent(desk, keeper, {
        consentId: world.answers.get(act.answer)!,
        by: "whoever gave it",
        ...(act.hoursAgo > 0 && { at: new Date(at).toISOString() }),
      });
      const stands = word.answer === "yes" && word.withdrawnAt === null;
      if (outcome.done !== stands) {
        return stands ? "a yes cannot be withdrawn" : "what is no yes was withdrawn";
      }
      if (!outcome.done) return null;
      noted(outcome, () => {
        word.withdrawnAt = at;
      });
      return await told(world, model, word, outcome.value.wentOut);
    }
    case "move": {
      const requestId = act.to === null ? null : world.requests[act.to]!;
      const frameIds = act.pictures.map((i) => world.pictures[i]!);
      noted(await placeFrames(desk, keeper, { frameIds, requestId, because }), () =>
        model.move(act.pictures, act.to),
      );
      return null;
    }
    case "undo":
      noted(await undoPlacing(desk, keeper, null), () => model.moveBack());
      return null;
    case "put aside":
    case "take back":
      await putAside(desk, world.pictures[act.picture]!, act.is === "put aside" ? because : null, model.now);
      model.pictures[act.picture]!.isAside = act.is === "put aside";
      return null;
    case "confirm masks": {
      const frameId = world.pictures[act.picture]!;
      const answers = {
        proposals: world.proposals[act.picture]!,
        proposed: [],
        areas: [],
        answers: NOTHING_THERE,
      };
      noted(await confirmMask(desk, keeper, { frameId, ...answers }), () => {
        model.pictures[act.picture]!.masksConfirmed = true;
      });
      return null;
    }
    case "mark": {
      const of = { requestId: world.requests[act.request]! };
      const categories = act.sensitive ? (["intimate", "evidence"] as const) : [];
      noted(await markSensitive(desk, keeper, { of, categories, because }), () => {});
      return null;
    }
    case "cancel":
    case "reopen": {
      const does = act.is === "cancel" ? cancelRequest : reopenRequest;
      noted(await does(desk, keeper, { requestId: world.requests[act.request]!, because }), () => {
        model.cancelled[act.request] = act.is === "cancel";
      });
      return null;
    }
    case "role": {
      const { login } = world.people[act.person]!;
      noted(await changeAccount(desk, administrator, { login, role: act.role, because }), () =>
        model.roles[act.person]!.push(act.role),
      );
      return null;
    }
    case "emergency": {
      const actor = actorIn(world, act.person, model.roles[act.person]!.at(-1)!);
      const patient = {
        patientNumber: `HN${act.patient}0000${act.patient}`,
        birthDateOrName: BORN[act.patient]!,
      };
      const outcome = await openInEmergency(desk, actor, { ...patient, because: "found without a name" });
      noted(outcome, () => {});
      return null;
    }
    case "portrayed": {
      const name = NAMES[act.name]!;
      const frames = act.pictures === null ? {} : { frames: act.pictures.map((i) => world.pictures[i]!) };
      const outcome = await namePortrayed(desk, keeper, {
        requestId: world.requests[act.request]!,
        name,
        ...frames,
      });
      noted(outcome, ({ id }) => {
        const { request, pictures } = act;
        model.portrayed.set(act.number, { request, name, pictures, isVoid: false });
        world.portrayed.set(act.number, id);
      });
      return null;
    }
    case "not portrayed": {
      const id = world.portrayed.get(act.naming);
      if (id === undefined) return null;
      noted(await unnamePortrayed(desk, keeper, { id, because }), () => {
        model.portrayed.get(act.naming)!.isVoid = true;
      });
      return null;
    }
    case "clock":
      model.now += act.byS * 1000;
      return null;
  }
}

/** A yes to fewer pictures takes the place of one that reached further. */
async function narrow(
  world: World,
  model: LiteralModel,
  act: Extract<Act, { is: "narrow" }>,
  counts: Counts,
): Promise<string | null> {
  const before = model.said.get(act.answer);
  if (!before) return null;
  const request = before.request ?? PATIENT_OF_REQUEST.indexOf(before.patient);
  const publication = before.publication === null ? null : before.publication === publicationOf(0) ? 0 : 1;
  const name = before.name === null ? 0 : (NAMES as readonly string[]).indexOf(before.name);
  const { scope, capacity } = before;
  const asked = {
    of: { request, name },
    scope,
    publication,
    capacity,
    pictures: act.pictures,
    hoursAgo: 0,
    untilInDays: null,
  };
  const answer = { ...answerTo(world, asked, model.now), insteadOf: world.answers.get(act.answer)! };
  const outcome = await giveConsent(world.desk, world.keeper, answer);
  if (!outcome.done) return null;
  counts.accepted.narrow = (counts.accepted.narrow ?? 0) + 1;
  if (before.answer === "no" || before.withdrawnAt !== null) return "what is no yes was narrowed";
  before.withdrawnAt = model.now - 1;
  model.said.set(act.number, model.noteOf(asked, "yes"));
  world.answers.set(act.number, outcome.value.id);
  return await told(world, model, before, outcome.value.wentOut);
}

/** Whether the list of what went out is the one that the model has. */
async function told(
  world: World,
  model: LiteralModel,
  word: Said,
  wentOut: readonly WentOut[],
): Promise<string | null> {
  const say = (list: Iterable<readonly [string, number]>) =>
    [...list]
      .map(([id, count]) => `${world.releases.indexOf(id)} with ${count}`)
      .sort()
      .join("; ");
  const is = say(wentOut.map(({ releaseId, files }) => [releaseId, files.length]));
  const must = say(
    [...model.mustBeToldOf(word)].map(([number, gone]) => [world.releases[number]!, gone.size]),
  );
  return is === must ? null : `what went out is releases ${must || "none"}, and the list has ${is || "none"}`;
}

/** As the act of putting aside writes it. */
async function putAside(desk: Desk, frame: string, because: string | null, now: number): Promise<void> {
  await desk.library.write("test", async ({ update }) => {
    const at = because === null ? null : new Date(now).toISOString();
    await update("frame", frame, { trashed_at: at, trashed_because: because });
    return { value: null, deed: { act: "test.trash", subject: `frame/${frame}` } };
  });
}

/** Fewer acts that part desk and model as well: pieces are left out, large ones first. */
export async function shrink(
  acts: readonly Act[],
  exit: Exit,
  triesAtMost: number,
): Promise<{ readonly acts: readonly Act[]; readonly parted: Parted }> {
  let tries = 0;
  let kept = acts;
  let parted = (await runActs(kept, exit))!;
  kept = kept.slice(0, parted.at + 1);
  for (let size = Math.ceil(kept.length / 2); size >= 1; size = size === 1 ? 0 : Math.ceil(size / 2)) {
    for (let from = 0; from < kept.length && tries++ < triesAtMost; ) {
      const fewer = [...kept.slice(0, from), ...kept.slice(from + size)];
      const still = fewer.length === 0 ? null : await runActs(fewer, exit);
      if (still === null) from += size;
      else {
        parted = still;
        kept = fewer.slice(0, still.at + 1);
      }
    }
  }
  return { acts: kept, parted };
}

/** A failing case for a person: every act in words, and what went wrong after the last. */
export const sayCase = (acts: readonly Act[], { says }: Parted): string =>
  [...acts.map((act, i) => `  ${i + 1}. ${sayAct(act)}`), `  → ${says}`].join("\n");

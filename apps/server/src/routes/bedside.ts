import {
  type Actor,
  type BedsideChoice,
  type BedsideOnRecord,
  type BedsideSubject,
  bedsideChoices,
  bedsideSubject,
  beginBedside,
  doneOrThrow,
  endBedside,
  type LiveFrame,
  mayLookAtGhost,
  PHOTOGRAPHERS,
  requestByCode,
  runningBedsides,
  sayAtBedside,
} from "@samescale/desk";
import { type ErrorReport, SamescaleError } from "@samescale/errors";
import { z } from "zod";
import { type ArrivalFolders, allowedArrivals, arrivalFolders } from "../bedside/arrival-folder.ts";
import { bedsideSessions, type Running, wordOf } from "../bedside/sessions.ts";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";

/** What can be begun or gone on with. */
export interface BedsideList {
  readonly running: readonly (Omit<BedsideOnRecord, "requestId"> & { readonly title: string })[];
  readonly choices: readonly BedsideChoice[];
  readonly arrivals: ArrivalFolders;
}

export type BedsideFrame = LiveFrame;

export interface BedsideView {
  readonly key: string;
  readonly name: string;
  readonly magnification: number;
  readonly orientation: "landscape" | "portrait";
  readonly isMade: boolean;
  /** `sha256`: of the original, by which its picture is asked for. */
  readonly baseline: { readonly date: string | null; readonly sha256: string } | null;
  readonly hasGhost: boolean;
}

/** A session as every page that looks at it shows it. */
export interface BedsideNow extends Omit<BedsideSubject, "views" | "requestId" | "state"> {
  /** `resting`: it is on record and this server has not gone on with it yet. */
  readonly state: "not-begun" | "resting" | "making-ready" | "running";
  readonly folder: string | null;
  readonly beganAt: string | null;
  readonly views: readonly BedsideView[];
  /** The newest first. */
  readonly frames: readonly BedsideFrame[];
  readonly folderSays: string | null;
  readonly problem: ErrorReport | null;
  readonly passedOver: readonly { readonly fileName: string; readonly why: string }[];
}

const config = { may: PHOTOGRAPHERS };
const code = z.string().min(1).max(60);
const frame = z.string().regex(/^[0-9a-f]{32}$/);
const ofCode = z.object({ code });
const ofFrame = z.object({ code, frame });

/** A page lists no more; older ones are in the folder and come with the card. */
const MOST_FRAMES = 60;
const MOST_PICTURES = 24;
/** As large as a tablet shows it. */
const PICTURE_PX = 1600;

/** The newest frame and what to do about it. */
export const bedsideRoutes: Area = (app, deps) => {
  const { desk, pool } = deps;
  const sessions = bedsideSessions(deps);
  app.addHook("onClose", () => sessions.close());

  async function onRecord(actor: Actor, requestId: string): Promise<BedsideOnRecord | null> {
    return (await runningBedsides(desk, actor)).find((one) => one.requestId === requestId) ?? null;
  }
  async function running(actor: Actor, named: string): Promise<Running> {
    const { id } = await requestByCode(desk, actor, named);
    const found = sessions.of(id);
    if (found) return found;
    throw new SamescaleError(
      "BEDSIDE_UNKNOWN",
      `No session at the bedside runs for ${named}`,
      "Begin it, or go on with it, under Bedside.",
    );
  }

  app.get("/bedside", { config }, async (request): Promise<BedsideList> => {
    const actor = who(request);
    const [onLog, choices, arrivals] = await Promise.all([
      runningBedsides(desk, actor),
      bedsideChoices(desk, actor),
      arrivalFolders(deps),
    ]);
    return {
      running: onLog.map(({ requestId: _, ...one }) => ({
        ...one,
        title: choices.find((choice) => choice.code === one.code)?.title ?? "",
      })),
      choices,
      arrivals,
    };
  });

  app.get("/bedside/:code", { config, schema: { params: ofCode } }, async (request): Promise<BedsideNow> => {
    const actor = who(request);
    const { requestId, views, state: _, ...subject } = await bedsideSubject(desk, actor, request.params.code);
    const here = sessions.of(requestId);
    const record = await onRecord(actor, requestId);
    const made = (key: string) => here?.live != null && !here.live.missing.includes(key);
    return {
      ...subject,
      state: here ? (here.live ? "running" : "making-ready") : record ? "resting" : "not-begun",
      folder: here?.folder ?? record?.folder ?? null,
      beganAt: record?.beganAt ?? null,
      views: views.map((view) => {
        const baseline = here?.plan?.baselines.get(view.key);
        return {
          ...view,
          isMade: made(view.key),
          baseline: baseline ? { date: baseline.date, sha256: baseline.sha256 } : null,
          hasGhost: here?.ghosts.has(view.key) ?? false,
        };
      }),
      frames: here?.live?.frames.slice(0, MOST_FRAMES) ?? [],
      folderSays: here?.live?.folderSays ?? null,
      problem: here?.problem ?? here?.live?.problem ?? null,
      passedOver: here?.live?.passedOver ?? [],
    };
  });

  const begin = z.strictObject({ folder: z.string().min(1).max(1000) });
  app.post("/bedside/:code/begin", { config, schema: { params: ofCode, body: begin } }, async (request) => {
    const actor = who(request);
    const { requestId, code } = await bedsideSubject(desk, actor, request.params.code);
    const folder = await allowedArrivals(deps, request.body.folder);
    doneOrThrow(await beginBedside(desk, actor, { requestId, folder }));
    await sessions.open(actor, { requestId, code, folder });
    return { begun: true };
  });

  app.post("/bedside/:code/go-on", { config, schema: { params: ofCode } }, async (request) => {
    const actor = who(request);
    const { id } = await requestByCode(desk, actor, request.params.code);
    const record = await onRecord(actor, id);
    // What was allowed yesterday may not be today.
    if (record) await sessions.open(actor, { ...record, folder: await allowedArrivals(deps, record.folder) });
    return { goesOn: record !== null };
  });

  app.post("/bedside/:code/end", { config, schema: { params: ofCode } }, async (request) => {
    const actor = who(request);
    const { requestId, views } = await bedsideSubject(desk, actor, request.params.code);
    const keys = views.map(({ key }) => key);
    const missing = sessions.of(requestId)?.live?.missing ?? keys;
    const made = keys.filter((key) => !missing.includes(key));
    doneOrThrow(await endBedside(desk, actor, { requestId, made, missing }));
    await sessions.end(requestId);
    return { made, missing };
  });

  const word = z.strictObject({ said: z.enum(["keep", "repeat", "your-choice"]).nullable() });
  app.post(
    "/bedside/:code/frames/:frame/word",
    { config, schema: { params: ofFrame, body: word } },
    async (request) => {
      const actor = who(request);
      const { live, requestId } = await running(actor, request.params.code);
      const known = live?.frames.find(({ id }) => id === request.params.frame);
      if (!live || !known) throw frameUnknown();
      const { said } = request.body;
      const judged = known.judged?.verdict ?? null;
      const { id, fileName } = known;
      doneOrThrow(await sayAtBedside(desk, actor, { requestId, frame: id, fileName, judged, said }));
      live.say(id, said && wordOf(actor, said, desk.library.clock().toISOString()));
      return { before: known.word?.said ?? null };
    },
  );

  app.get(
    "/bedside/:code/frames/:frame/picture",
    { config, schema: { params: ofFrame } },
    async (request, reply) => {
      const { live, pictures } = await running(who(request), request.params.code);
      const { frame: id } = request.params;
      const file = live?.fileOf(id);
      if (!file) throw frameUnknown();
      const picture = pictures.get(id) ?? (await pool.run("thumbnail", { file, maxSidePx: PICTURE_PX }));
      pictures.delete(id);
      pictures.set(id, picture);
      const [oldest] = pictures.keys();
      if (pictures.size > MOST_PICTURES && oldest !== undefined) pictures.delete(oldest);
      return await reply.type("image/jpeg").send(Buffer.from(picture));
    },
  );

  const ofView = z.object({ code, view: z.string().min(1).max(60) });
  app.get(
    "/bedside/:code/views/:view/ghost",
    { config, schema: { params: ofView } },
    async (request, reply) => {
      const actor = who(request);
      const ghost = (await running(actor, request.params.code)).ghosts.get(request.params.view);
      if (!ghost || !(await mayLookAtGhost(desk, actor, ghost))) {
        throw new SamescaleError(
          "GHOST_MISSING",
          "There is no ghost of this view",
          "A ghost is drawn where the view repeats an earlier picture.",
        );
      }
      return await reply.type("image/png").send(Buffer.from(ghost.png));
    },
  );
};

const frameUnknown = () =>
  new SamescaleError(
    "FRAME_UNKNOWN",
    "There is no such frame in this session",
    "It may have been deleted from the folder; look at the newest one.",
  );

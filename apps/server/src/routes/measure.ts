import { randomInt } from "node:crypto";
import {
  type Actor,
  calibrationsOf,
  departmentRepeats,
  doneOrThrow,
  type FrameAtMeasure,
  frameAtMeasure,
  keepReadingByHand,
  LOOKS_AT_PICTURES,
  measureFrame,
  type OutlineOnRecord,
  originalToLookAt,
  outlineAgain,
  outlinesOnRecord,
  PHOTOGRAPHERS,
  pictureStillToRepeat,
  pictureToRepeat,
  readByHand,
  type ScaleSaid,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PartSaid, ScaleAnswer } from "@samescale/picture";
import { scaleKnown } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";
import { outlineSteps, partSaid, scaleSaid } from "./measure/said.ts";

export type { FrameAtMeasure, OutlineOnRecord, ScaleSaid };

/** A picture chosen to be outlined unseen; or why there is none. */
export interface ChosenToRepeat {
  readonly frameId: string | null;
  readonly reason: string | null;
}

/** What was kept, and where it was outlined unseen also what was there before. */
export interface OutlineSaved {
  readonly now: OutlineOnRecord;
  /** Newest first; empty where it was no blind repeat. */
  readonly before: readonly OutlineOnRecord[];
}

const LOTS = 2 ** 32;

const id = z.string().regex(/^[0-9A-HJKMNP-TV-Z]{26}$/, "is no id of a frame");
const frame = { params: z.object({ id }) };
const saving = z.strictObject({
  steps: outlineSteps,
  readingSha256: z.string().regex(/^[0-9a-f]{64}$/),
  said: partSaid.optional(),
  /** As the person saw it before saving. */
  areaMm2: z.number().positive().max(1e7),
  isBlind: z.boolean(),
});

/** Reading a scale, outlines, measurements, blind repeats. */
export const measureRoutes: Area = (app, { desk, pool, practiceFolder }) => {
  const looking = { may: LOOKS_AT_PICTURES };
  const measuring = { may: PHOTOGRAPHERS };

  async function known(actor: Actor, frameId: string, isBlind: boolean): Promise<FrameAtMeasure> {
    return (await frameAtMeasure(desk, actor, { frameId, isBlind })) ?? unknown(frameId);
  }
  const scalesKnown = async () => (await calibrationsOf(await practiceFolder())).scales.map(scaleKnown);

  app.get("/measure/again", { config: measuring }, async (request): Promise<ChosenToRepeat> => {
    const chosen = await pictureToRepeat(desk, who(request), () => randomInt(LOTS) / LOTS);
    return chosen.done
      ? { frameId: chosen.value.frame.frameId, reason: null }
      : { frameId: null, reason: chosen.reason };
  });

  app.get(
    "/measure/frames/:id",
    {
      config: looking,
      schema: { ...frame, querystring: z.object({ blind: z.enum(["yes", "no"]).default("no") }) },
    },
    async (request): Promise<FrameAtMeasure> =>
      await known(who(request), request.params.id, request.query.blind === "yes"),
  );

  // Four numbers (width, height, and both of the full picture; 32 bits, little-endian), then red, green and blue of each pixel.
  app.get("/measure/frames/:id/pixels", { config: measuring, schema: frame }, async (request, reply) => {
    const actor = who(request);
    const { frame: card } = await known(actor, request.params.id, true);
    const original = (await originalToLookAt(desk, actor, card.sha256)) ?? unknown(card.frameId);
    const picture = await pool.run("outline-pixels", { file: original.file });
    const head = Buffer.alloc(16);
    [picture.widthPx, picture.heightPx, picture.fullWidthPx, picture.fullHeightPx].forEach((n, i) => {
      head.writeUInt32LE(n, 4 * i);
    });
    return await reply.type("application/octet-stream").send(Buffer.concat([head, picture.rgb]));
  });

  const reading = { config: measuring, schema: { ...frame, body: z.strictObject({ said: scaleSaid }) } };
  app.post("/measure/frames/:id/try-reading", reading, async (request): Promise<ScaleAnswer> => {
    const { id: frameId } = request.params;
    const said = request.body.said as ScaleSaid;
    const read = await readByHand(desk, who(request), pool, {
      frameId,
      said,
      calibrations: await scalesKnown(),
    });
    return (read ?? unknown(frameId)).scale;
  });

  app.post("/measure/frames/:id/reading", reading, async (request): Promise<FrameAtMeasure> => {
    const { id: frameId } = request.params;
    const actor = who(request);
    const said = request.body.said as ScaleSaid;
    const kept = await keepReadingByHand(desk, actor, pool, {
      frameId,
      said,
      calibrations: await scalesKnown(),
    });
    if (!kept) return unknown(frameId);
    return await known(actor, frameId, false);
  });

  app.post(
    "/measure/frames/:id/outline",
    { config: measuring, schema: { ...frame, body: saving } },
    async (request): Promise<OutlineSaved> => {
      const actor = who(request);
      const { id: frameId } = request.params;
      const { steps, readingSha256, areaMm2: seenAreaMm2, isBlind } = request.body;
      const said = request.body.said as PartSaid | undefined;
      const { frame: card, reading: newest } = await known(actor, frameId, true);
      if (newest?.sha256 !== readingSha256) {
        throw new SamescaleError(
          "READING_CHANGED",
          "The scale of this picture was read anew while it was outlined",
          "Your outline is kept here: look at the new reading, then save again.",
        );
      }
      const clicks = { inside: [], outside: [], steps };
      const ownRepeats = await departmentRepeats(desk);
      const work = { clicks, ...(said && { said }), ownRepeats, seenAreaMm2 };
      const before = isBlind ? await outlinesOnRecord(desk, frameId) : [];
      const measured = isBlind
        ? await outlineAgain(desk, actor, pool, {
            ...doneOrThrow(await pictureStillToRepeat(desk, actor, frameId)),
            ...work,
          })
        : await measureFrame(desk, actor, pool, {
            ...work,
            frame: { frameId, sha256: card.sha256, name: card.name, takenAt: card.takenAt, position: 0 },
            scale: newest.scale,
            readingSha256,
          });
      const { outlineSha256 } = doneOrThrow(measured);
      const now = (await outlinesOnRecord(desk, frameId)).find(({ sha256 }) => sha256 === outlineSha256)!;
      return { now, before };
    },
  );
};

function unknown(frameId: string): never {
  throw new SamescaleError(
    "FRAME_UNKNOWN",
    `There is no frame ${frameId}`,
    "Go back to the list; it may have been moved, or the address was typed wrong.",
  );
}

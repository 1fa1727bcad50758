import {
  confirmMask,
  doneOrThrow,
  PHOTOGRAPHERS,
  type ProposedMask,
  previewOutgoing,
  proposeMask,
} from "@samescale/desk";
import { MASK_KINDS, type MetadataGroup } from "@samescale/picture";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byId, scope } from "./fields.ts";

export type { MetadataGroup, ProposedMask };

/** A picture as it would leave. */
export interface OutgoingPreview {
  /** JPEG, base64. */
  readonly jpeg: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly masked: number;
  readonly why: string | null;
  readonly before: readonly MetadataGroup[];
  readonly after: readonly MetadataGroup[];
  readonly originalsGoAlong: boolean;
}

const point = z.tuple([z.number(), z.number()]);
const polygon = z.array(point).min(3).max(500);
/** `kind` is a person's word: that a bar over eyes is no mask, the desk says. */
const drawn = z.strictObject({ kind: z.string().max(40), polygon });

/** What must not be seen: proposed, drawn, confirmed, and shown as it will be. */
export const maskRoutes: Area = (app, { desk, pool, jobs }) => {
  const config = { may: PHOTOGRAPHERS };

  app.post("/release/frames/:id/propose", { config, schema: { params: byId } }, async (request) => {
    const actor = who(request);
    const { id } = request.params;
    const job = jobs.start(actor, "Looking for what must not be seen", async (_step, signal) =>
      doneOrThrow(await proposeMask(desk, actor, pool, id, signal)),
    );
    return { job: job.id };
  });

  app.post(
    "/release/frames/:id/mask",
    {
      config,
      schema: {
        params: byId,
        body: z.strictObject({
          proposals: z.string().regex(/^[0-9a-f]{64}$/),
          proposed: z.array(z.enum(["cover", "leave"])).max(500),
          areas: z.array(drawn).max(200),
          answers: z.record(z.string().max(40), z.string().max(40)),
        }),
      },
    },
    async (request) =>
      doneOrThrow(await confirmMask(desk, who(request), { frameId: request.params.id, ...request.body })),
  );

  app.post(
    "/release/frames/:id/preview",
    {
      config,
      schema: {
        params: byId,
        body: z.strictObject({
          scope,
          areas: z
            .array(z.strictObject({ kind: z.enum(MASK_KINDS), polygon }))
            .max(400)
            .nullable(),
        }),
      },
    },
    async (request): Promise<OutgoingPreview> => {
      const wanted = { frameId: request.params.id, ...request.body };
      const { jpeg, ...rest } = doneOrThrow(await previewOutgoing(desk, who(request), pool, wanted));
      return { ...rest, jpeg: Buffer.from(jpeg).toString("base64") };
    },
  );
};

import {
  checkOneRelease,
  type KnownRelease,
  type ListedRelease,
  listReleases,
  PHOTOGRAPHERS,
  type ReleasedCheck,
  type Role,
  releasesOf,
  requestByCode,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { RECALLS } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byId, scope } from "./fields.ts";
import { releasedFolder } from "./released-folder.ts";

export type { ListedRelease, ReleasedCheck };

export interface ReleaseList {
  readonly releases: readonly ListedRelease[];
  /** There are so many; the newest are shown. */
  readonly of: number;
}

/** One release with its receipt. */
export interface ReleaseReceipt extends KnownRelease {
  /** This person may fetch its files, if consent still holds. */
  readonly mayFetch: boolean;
  /** What to ask the recipient for when consent ends, and what that cannot do. */
  readonly recallSays: string;
}

/** Who sees that something left; of what, the desk says. Pictures are not among it. */
export const RECEIPT_READERS: readonly Role[] = [...PHOTOGRAPHERS, "auditor", "requester"];
const LIST_KEEPERS: readonly Role[] = [...PHOTOGRAPHERS, "auditor"];

/** What left, to whom, on what it rested, and whether it is still what left. */
export const receiptRoutes: Area = (app, { desk, jobs }) => {
  const config = { may: RECEIPT_READERS };

  app.get(
    "/release/receipts",
    {
      config,
      schema: {
        querystring: z.object({
          request: z.string().max(60).optional(),
          scope: scope.optional(),
          which: z.enum(["out", "recalled", "ended", "taken-back"]).optional(),
          words: z.string().max(200).optional(),
        }),
      },
    },
    async (request): Promise<ReleaseList> => {
      const actor = who(request);
      const { request: code, ...filter } = request.query;
      const requestId = code === undefined ? undefined : (await requestByCode(desk, actor, code)).id;
      return listReleases(desk, actor, { ...filter, requestId });
    },
  );

  app.get(
    "/release/receipts/:id",
    { config, schema: { params: byId } },
    async (request): Promise<ReleaseReceipt> => {
      const actor = who(request);
      const [release] = await releasesOf(desk, actor, { releaseId: request.params.id });
      if (!release) throw unknown(request.params.id);
      const isOut = release.state === "out" && release.recallBecause === null && !release.isExpired;
      const mayFetch =
        isOut &&
        (PHOTOGRAPHERS.includes(actor.role) || (actor.role === "requester" && release.scope === "requester"));
      return { ...release, mayFetch, recallSays: RECALLS[release.scope].says };
    },
  );

  app.post(
    "/release/receipts/:id/check",
    { config: { may: LIST_KEEPERS }, schema: { params: byId } },
    async (request) => {
      const actor = who(request);
      const { id } = request.params;
      const [release] = await releasesOf(desk, actor, { releaseId: id });
      if (!release) throw unknown(id);
      const job = jobs.start(actor, "Hashing what was released again", async () =>
        checkOneRelease(desk, actor, releasedFolder(desk), id),
      );
      return { job: job.id };
    },
  );
};

const unknown = (id: string) =>
  new SamescaleError("RELEASE_UNKNOWN", `There is no release ${id}`, "Look for it in the list of receipts.");

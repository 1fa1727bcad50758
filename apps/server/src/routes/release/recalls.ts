import { answerRecall, doneOrThrow, PHOTOGRAPHERS, type Recall, type Role, recallsOf } from "@samescale/desk";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byId } from "./fields.ts";

export type { Recall };

const LIST_KEEPERS: readonly Role[] = [...PHOTOGRAPHERS, "auditor"];

/** Whom to ask something back, and what they answered. */
export const recallRoutes: Area = (app, { desk }) => {
  app.get(
    "/release/recalls",
    {
      config: { may: LIST_KEEPERS },
      schema: { querystring: z.object({ which: z.enum(["open", "all"]).default("open") }) },
    },
    async (request): Promise<readonly Recall[]> =>
      doneOrThrow(await recallsOf(desk, who(request), request.query.which)),
  );

  app.post(
    "/release/receipts/:id/answer",
    {
      config: { may: PHOTOGRAPHERS },
      schema: { params: byId, body: z.strictObject({ says: z.string().max(2000) }) },
    },
    async (request) => {
      const { id: releaseId } = request.params;
      doneOrThrow(await answerRecall(desk, who(request), { releaseId, says: request.body.says }));
      return { answered: true };
    },
  );
};

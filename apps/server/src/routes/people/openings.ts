import {
  CLINICAL,
  doneOrThrow,
  type ListedOpening,
  listOpenings,
  type Opened,
  openInEmergency,
  type Role,
  reviewOpening,
} from "@samescale/desk";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { because } from "./fields.ts";

const REVIEWERS: readonly Role[] = ["lead", "auditor"];

/** What was hidden and was opened in an emergency, and that somebody looks into it. */
export const openingRoutes: Area = (app, { desk }) => {
  const emergency = z.object({
    patientNumber: z.string().max(100),
    birthDateOrName: z.string().max(200),
    because,
  });
  // Guessing who is here is slow, and each hit stands in the lead's list.
  const tight = { rateLimit: { max: 10, timeWindow: "1 minute" } };
  app.post(
    "/people/emergency",
    { config: { may: CLINICAL, ...tight }, schema: { body: emergency }, bodyLimit: 10_000 },
    async (request): Promise<Opened> => doneOrThrow(await openInEmergency(desk, who(request), request.body)),
  );
  app.get(
    "/people/openings",
    {
      config: { may: REVIEWERS },
      schema: { querystring: z.object({ which: z.enum(["unreviewed", "all"]).default("unreviewed") }) },
    },
    async (request): Promise<readonly ListedOpening[]> =>
      await listOpenings(desk, who(request), request.query.which),
  );
  app.post(
    "/people/openings/:id/review",
    {
      config: { may: REVIEWERS },
      schema: {
        params: z.object({ id: z.string().max(40) }),
        body: z.object({ finding: z.string().max(2000) }),
      },
      bodyLimit: 10_000,
    },
    async (request) => {
      doneOrThrow(await reviewOpening(desk, who(request), { ...request.params, ...request.body }));
      return { reviewed: true };
    },
  );
};

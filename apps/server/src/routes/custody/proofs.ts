import { proofFiles } from "@samescale/desk";
import { strToU8, zipSync } from "fflate";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { LOG_READERS } from "./readers.ts";

const MOST = 200;

/** Proofs as one archive of plain text: the lines, why they are in the signed log, and how to check that without us. */
export const proofRoutes: Area = (app, { desk }) => {
  app.post(
    "/custody/proofs",
    {
      config: { may: LOG_READERS },
      schema: {
        body: z.strictObject({
          subjects: z.array(z.string().max(120)).max(MOST),
          entries: z.array(z.int().min(1)).max(MOST),
          since: z.int().min(1).nullable(),
        }),
      },
    },
    async (request, reply) => {
      const files = await proofFiles(desk, who(request), request.body);
      const zipped = zipSync(Object.fromEntries(files.map(({ name, text }) => [name, strToU8(text)])));
      return await reply
        .type("application/zip")
        .header("content-disposition", 'attachment; filename="proofs.zip"')
        .send(Buffer.from(zipped));
    },
  );
};

import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { cardPage, doneOrThrow, makeCard, PHOTOGRAPHERS } from "@samescale/desk";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { codeParams } from "./fields.ts";

const config = { may: PHOTOGRAPHERS };

/** The shot card: for the phone as a page of its own, on paper as a PDF. */
export const shotCardRoutes: Area = (app, { desk, practice }) => {
  app.get(
    "/requests/:code/card",
    { config, schema: { params: codeParams, hide: true } },
    async (request, reply) => {
      const page = await cardPage(desk, who(request), request.params.code, await practice());
      return await reply
        .type("text/html; charset=utf-8")
        // Its own styles and its one script, by their hashes.
        .header("content-security-policy", page.contentSecurityPolicy)
        .send(page.html);
    },
  );

  app.post(
    "/requests/:code/card.pdf",
    { config, schema: { params: codeParams, hide: true } },
    async (request, reply) => {
      const { code } = request.params;
      const folder = await mkdtemp(join(tmpdir(), "samescale-card-"));
      try {
        const pdf = join(folder, "card.pdf");
        const wanted = { requestCode: code, pdf, replace: false };
        doneOrThrow(await makeCard(desk, who(request), wanted, await practice()));
        return await reply
          .type("application/pdf")
          .header("content-disposition", `attachment; filename="shot-card-${code}.pdf"`)
          .send(await readFile(pdf));
      } finally {
        await rm(folder, { recursive: true, force: true });
      }
    },
  );
};

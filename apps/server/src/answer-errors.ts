import { reportOf } from "@samescale/errors";
import { hasZodFastifySchemaValidationErrors } from "fastify-type-provider-zod";
import type { App } from "./deps.ts";

/** What is no fault of the server, by code: asked for and not there, or not for whoever asks. */
const STATUS: Readonly<Record<string, number>> = {
  SIGN_IN_NEEDED: 401,
  SIGN_IN_REFUSED: 401,
  ROLE_NOT_ALLOWED: 403,
  OTHER_SITE: 403,
  HOST_NOT_SERVED: 421,
  NO_SUCH_PAGE: 404,
  ACT_REFUSED: 409,
  CARD_BUSY: 409,
  CARD_NOT_ALLOWED: 403,
  DROP_NOT_WHOLE: 409,
  FIELD_NOT_RIGHT: 400,
  TOO_LARGE: 413,
  TOO_MANY: 429,
  DISK_FULL: 507,
  INTERNAL: 500,
};
const GONE = /(_UNKNOWN|_MISSING|_WITHOUT_PLAN)$/;

/** Every error leaves as the same report that the commands print: what happened, to what, what to do. */
export function answerErrors(app: App): void {
  app.setErrorHandler(async (thrown, request, reply) => {
    if (hasZodFastifySchemaValidationErrors(thrown)) {
      const fields = thrown.validation.map(
        ({ instancePath, message }) => `${field(instancePath)}: ${message}`,
      );
      return await reply.code(400).send({
        code: "FIELD_NOT_RIGHT",
        message: fields.join("; "),
        help: "Put right what is named; nothing was changed.",
      });
    }
    const { statusCode } = thrown as { statusCode?: number };
    if (statusCode === 413) {
      return await reply.code(413).send({
        code: "TOO_LARGE",
        message: "More was sent than this takes",
        help: "Send less at once; nothing was changed.",
      });
    }
    if (statusCode !== undefined && statusCode < 500) {
      return await reply.code(statusCode).send({
        code: statusCode === 429 ? "TOO_MANY" : "FIELD_NOT_RIGHT",
        message: (thrown as Error).message,
        help:
          statusCode === 429 ? "Wait a minute, then go on." : "Put right what is named; nothing was changed.",
      });
    }
    const report = reportOf(thrown, request.routeOptions.url ?? "an address that is not served");
    const status = STATUS[report.code] ?? (GONE.test(report.code) ? 404 : 400);
    if (status === 500)
      request.log.error({ fault: report.message, route: request.routeOptions.url }, "fault");
    return await reply.code(status).send(report);
  });
}

const field = (path: string): string => (path === "" ? "the request" : path.slice(1).replaceAll("/", "."));

import type { ErrorReport } from "@samescale/errors";
import { fieldWords } from "@samescale/practice";
import type { FastifyError, FastifyReply, FastifyRequest } from "fastify";
import { hasZodFastifySchemaValidationErrors } from "fastify-type-provider-zod";
import { z } from "zod";
import type { App } from "./deps.ts";
import type { Report } from "./reports.ts";

/** What is no fault of the server, by code: asked for and not there, or not for whoever asks. */
const STATUS: Readonly<Record<string, number>> = {
  SIGN_IN_NEEDED: 401,
  SIGN_IN_REFUSED: 401,
  ROLE_NOT_ALLOWED: 403,
  OTHER_SITE: 403,
  NOT_THROUGH_PROXY: 403,
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
  TABLES_UNREACHABLE: 503,
  STORE_UNREACHABLE: 503,
  ENDING: 503,
  INTERNAL: 500,
};
const GONE = /(_UNKNOWN|_MISSING|_WITHOUT_PLAN)$/;

// A field that is not right is told in the words that the practice files have for it.
z.config({ localeError: fieldWords });

/** Every error leaves as the same report that the commands print: what happened, to what, what to do. */
export function answerErrors(app: App, report: Report): void {
  app.setErrorHandler(async (thrown, request, reply) => {
    // Whoever asked went away, and the work was let go with them: nobody is told, and nothing went wrong.
    if ((thrown as Error).name === "AbortError" && request.raw.socket.destroyed) return await reply.send();
    const own = frameworkReport(thrown as FastifyError);
    if (own !== null) return await reply.code((thrown as FastifyError).statusCode ?? 400).send(own);
    const told = report(thrown, request.routeOptions.url ?? "an address that is not served", request.id);
    return await reply.code(statusOf(told)).send(told);
  });
}

const statusOf = ({ code }: ErrorReport): number => STATUS[code] ?? (GONE.test(code) ? 404 : 400);

/** What the framework refuses before a route sees it; null: it is something else. */
function frameworkReport(thrown: FastifyError): ErrorReport | null {
  if (hasZodFastifySchemaValidationErrors(thrown)) {
    const fields = thrown.validation.map(({ instancePath, message }) => `${field(instancePath)} ${message}`);
    const isAddress = thrown.validationContext === "params";
    return isAddress ? badAddress(fields.join("; ")) : notRight(fields.join("; "));
  }
  const { statusCode } = thrown;
  if (statusCode === undefined || statusCode >= 500) return null;
  if (statusCode === 413) {
    return {
      code: "TOO_LARGE",
      message: "More was sent than this takes",
      help: "Send less at once; nothing was changed.",
    };
  }
  if (statusCode === 429) {
    return { code: "TOO_MANY", message: thrown.message, help: "Wait a minute, then go on." };
  }
  return notRight(thrown.message);
}

const notRight = (message: string): ErrorReport => ({
  code: "FIELD_NOT_RIGHT",
  message,
  help: "Put right what is named; nothing was changed.",
});

/** Somebody typed it, or a link was cut. */
const badAddress = (message: string): ErrorReport => ({
  code: "FIELD_NOT_RIGHT",
  message: `In the address, ${message}`,
  help: "Check the address, or look for it from its place.",
});

const field = (path: string): string => (path === "" ? "the request" : path.slice(1).replaceAll("/", "."));

/** For an address that cannot be read at all: no hook has run, so it brings its own headers. */
export function answerBadAddress(_thrown: FastifyError, _request: FastifyRequest, reply: FastifyReply): void {
  void reply
    .code(400)
    .headers({
      "content-security-policy": "default-src 'none'; frame-ancestors 'none'",
      "cache-control": "no-store",
      "x-content-type-options": "nosniff",
    })
    .send(notRight("This address cannot be read"));
}

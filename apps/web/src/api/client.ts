import type { ErrorReport } from "@samescale/errors";
import { answerAskedEarly } from "./early.ts";
import { signedInAgain } from "./session.ts";
import { untouchedS } from "./touched.ts";

/** What the server answered when it did not do what was asked: said to the person as it is. */
export class Refused extends Error {
  readonly report: ErrorReport;
  readonly status: number;
  constructor(report: ErrorReport, status: number) {
    super(report.message);
    this.report = report;
    this.status = status;
  }
}

const lost: ErrorReport = {
  code: "CONNECTION_LOST",
  message: "The server does not answer",
  help: "What you typed is still here. It goes on by itself when the connection is back.",
};

/** What every request of our own page carries: that it is ours, and when the person last touched the page. */
export const ownPageHeaders = (): Record<string, string> => ({
  "x-samescale": "1",
  "x-samescale-untouched": String(untouchedS()),
});

/**
 * One request to the server. Where nobody is signed in any more it waits until somebody is. @param path below `/api`, with its leading slash
 * @throws Refused
 */
export async function ask<Answer>(
  method: "GET" | "POST" | "PUT" | "PATCH" | "DELETE",
  path: string,
  body?: unknown,
  signal?: AbortSignal,
): Promise<Answer> {
  const isJson = body !== undefined && !(body instanceof Blob);
  let response: Response;
  try {
    response =
      (method === "GET" ? await answerAskedEarly(path) : null) ??
      (await fetch(`/api${path}`, {
        method,
        signal: signal ?? null,
        headers: { ...ownPageHeaders(), ...(isJson ? { "content-type": "application/json" } : {}) },
        body: isJson ? JSON.stringify(body) : ((body as Blob | undefined) ?? null),
      }));
  } catch (thrown) {
    if (signal?.aborted) throw thrown;
    throw new Refused(lost, 0);
  }
  const type = response.headers.get("content-type") ?? "";
  const answer: unknown = type.includes("json")
    ? await response.json()
    : await (type.includes("octet-stream") ? response.arrayBuffer() : response.text());
  if (response.ok) return answer as Answer;
  const report = answer as ErrorReport;
  if (report?.code === "SIGN_IN_NEEDED") {
    await signedInAgain(signal);
    return await ask(method, path, body, signal);
  }
  throw new Refused(
    typeof report?.code === "string"
      ? report
      : { code: "NO_ANSWER", message: `The server answered ${response.status}`, help: lost.help },
    response.status,
  );
}

/** Whatever was thrown, as what a person is told. */
export function reportFrom(thrown: unknown): ErrorReport {
  if (thrown instanceof Refused) return thrown.report;
  return {
    code: "PAGE_FAULT",
    message: thrown instanceof Error ? thrown.message : String(thrown),
    help: "Open the place anew. If it happens again, copy this and pass it on.",
  };
}

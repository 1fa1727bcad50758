import { type ErrorReport, reportOf } from "@samescale/errors";
import type { FastifyBaseLogger } from "fastify";
import { withoutOwnFolders } from "./guard/own-folders.ts";

/** Whatever was thrown, as it is told to a person. @param name under which the log has it, for faults of our own */
export type Report = (thrown: unknown, subject: string, name: string) => ErrorReport;

/**
 * What leaves the server of an error: its report without where things lie on this machine. Of a fault of our own only that it
 * was one; the log has the rest under the name that is told.
 */
export function reporter(folders: readonly string[], log: FastifyBaseLogger): Report {
  const told = withoutOwnFolders(folders);
  return (thrown, subject, name) => {
    const { code, message, help } = reportOf(thrown, subject);
    if (code !== "INTERNAL") return { code, message: told(message), help: told(help) };
    log.error({ request: name, at: subject, err: thrown }, "fault");
    return {
      code,
      message: "A fault of our own; nothing was left half done",
      help: `Please report it as ${name}: the server's log has it under that name.`,
    };
  };
}

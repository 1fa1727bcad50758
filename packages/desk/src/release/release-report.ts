import { createHash } from "node:crypto";
import { mkdir, open, rename, rm } from "node:fs/promises";
import { dirname, join } from "node:path";
import { type Consent, type ConsentScope, whyNotCovered } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";

/** A finished document on its way out. */
export interface ReportRelease {
  readonly requestId: string;
  /** What the recipient will use it for: consent must reach that far. */
  readonly scope: ConsentScope;
  readonly to: string;
  readonly bytes: Uint8Array;
  /** Below the folder of what left the department; letters, digits, `-` and `.` only. */
  readonly fileName: string;
  /** SHA-256 of everything that it shows. */
  readonly originals: readonly string[];
}

interface Waiting extends ReportRelease {
  readonly waitingFile: string;
}

/** Asks for consent, writes the document beside its final place, and puts both on record in one transaction. */
const releaseWaiting = defineAct<Waiting, null>({
  name: "release.report",
  may: PHOTOGRAPHERS,
  async consent({ requestId, scope }, { tables, now }) {
    const request = await tables
      .selectFrom("request")
      .select(["details", "state"])
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return `There is no request ${requestId}`;
    if (request.state === "cancelled") return "The request was cancelled";
    const { consents = [] } = JSON.parse(request.details) as { consents?: readonly Consent[] };
    return whyNotCovered(consents, scope, now.slice(0, 10));
  },
  async run({ requestId, scope, to, bytes, fileName, originals, waitingFile }) {
    await mkdir(dirname(waitingFile), { recursive: true });
    const file = await open(waitingFile, "wx", 0o600);
    try {
      await file.writeFile(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
    const details = {
      scope,
      to,
      fileName,
      sha256: createHash("sha256").update(bytes).digest("hex"),
      bytes: bytes.byteLength,
      originals: [...originals],
    };
    return { value: null, deed: { act: "release.report", subject: `request/${requestId}`, details } };
  },
});

/**
 * Lets a report leave, as far as consent reaches. The log is written before the document gets its name: killed in
 * between, the log tells of a release that did not happen, never the other way round.
 * @returns the path of the document
 */
export async function releaseReport(
  desk: Desk,
  actor: Actor,
  release: ReportRelease,
  releasedFolder: string,
): Promise<Outcome<{ readonly path: string }>> {
  if (!/^[A-Za-z0-9][A-Za-z0-9.-]{0,99}$/.test(release.fileName)) {
    return { done: false, reason: `Expected a plain file name, received ${release.fileName}` };
  }
  const path = join(releasedFolder, "reports", release.fileName);
  const waitingFile = `${path}.${process.pid}.part`;
  try {
    const released = await releaseWaiting(desk, actor, { ...release, waitingFile });
    if (!released.done) return released;
    await rename(waitingFile, path);
    return { done: true, value: { path } };
  } finally {
    await rm(waitingFile, { force: true });
  }
}

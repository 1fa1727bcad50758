import { isPublication } from "@samescale/practice";
import { maySeeFrame, maySeeRequest, type Tables } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { consentForUse } from "../consent/consent-for-use.ts";
import { type MaskInForce, maskInForce } from "./masks/mask-in-force.ts";
import { projectByName, type ResearchProject } from "./research-project.ts";
import { SCOPE_RULES } from "./scope-rules.ts";
import { faultsOf, type Refusal, type ReleaseWanted, refusal } from "./wanted.ts";

/** Everything that a release rests on, as it stands in the library at one moment. */
export interface Basis {
  readonly request: {
    readonly id: string;
    readonly code: string;
    readonly kind: "clinical" | "non-clinical";
    readonly details: string;
  };
  readonly patientId: string | null;
  readonly frames: readonly BasisFrame[];
  readonly consentIds: readonly string[];
  readonly project: ResearchProject | null;
  /** The earlier of what was wanted and the last day of each consent. */
  readonly expiresOn: string | null;
}

export interface BasisFrame {
  readonly frameId: string;
  /** The picture that is shown of it. */
  readonly original: string;
  readonly name: string;
  readonly takenAt: string | null;
  readonly mask: MaskInForce | null;
  /** Every file of the frame that is still there, sidecars and RAW included. */
  readonly files: readonly {
    readonly sha256: string;
    readonly name: string;
    readonly bytes: number;
    readonly format: string;
  }[];
}

/**
 * Who may, how far consent reaches for each frame, whether each frame is one of the request that can leave, and what was
 * confirmed of it. All reasons against it at once. Asked before anything is made, again in the transaction that writes the
 * release, and again in the one in which the files get their names.
 */
export async function basisOf(
  tables: Tables,
  actor: Actor,
  wanted: ReleaseWanted,
  now: string,
): Promise<{ readonly basis: Basis } | { readonly refusals: readonly Refusal[] }> {
  if (!PHOTOGRAPHERS.includes(actor.role)) {
    return {
      refusals: [refusal(`Pictures leave through a photographer or the lead, not in the role ${actor.role}`)],
    };
  }
  const { requestId, scope } = wanted;
  const request = (await maySeeRequest(tables, actor, requestId, now))
    ? await tables
        .selectFrom("request")
        .select(["id", "code", "kind", "state", "patient_id", "details"])
        .where("id", "=", requestId)
        .executeTakeFirst()
    : undefined;
  if (!request) return { refusals: [refusal(`There is no request ${requestId}`)] };
  const refusals = faultsOf(wanted, now.slice(0, 10));
  if (request.state === "cancelled") refusals.push(refusal("The request was cancelled"));
  if (isPublication(scope) && !wanted.publication) {
    refusals.push(refusal("Say which publication it is: consent to publish names the very one"));
  }
  const project = wanted.project == null ? null : await projectByName(tables, wanted.project);
  if (wanted.project != null && project === null) {
    refusals.push(refusal(`There is no research project ${wanted.project}: the lead adds it first`));
  }
  const consentIds = new Set<string>();
  const frames: BasisFrame[] = [];
  for (const frameId of wanted.frames) {
    const frame = await frameOf(tables, actor, wanted, frameId, now);
    if ("why" in frame) {
      for (const { why, way } of frame.why) refusals.push({ frameId, frame: frame.name, why, way });
      continue;
    }
    for (const id of frame.consentIds) consentIds.add(id);
    frames.push(frame.frame);
  }
  if (refusals.length > 0) return { refusals };
  const ids = [...consentIds].sort();
  const expiresOn = await lastDay(tables, ids, wanted.expiresOn ?? null);
  const { id, code, kind, details, patient_id: patientId } = request;
  return {
    basis: { request: { id, code, kind, details }, patientId, frames, consentIds: ids, project, expiresOn },
  };
}

type FrameChecked =
  | { readonly frame: BasisFrame; readonly consentIds: readonly string[] }
  | { readonly name: string | null; readonly why: readonly Pick<Refusal, "why" | "way">[] };

async function frameOf(
  tables: Tables,
  actor: Actor,
  { requestId, scope, publication = null }: ReleaseWanted,
  frameId: string,
  now: string,
): Promise<FrameChecked> {
  const row = await tables
    .selectFrom("frame")
    .select(["name", "kind", "request_id", "placed_by", "trashed_at", "taken_at"])
    .where("id", "=", frameId)
    .executeTakeFirst();
  // One that they may not know of is answered as one that is not there.
  if (!row || row.request_id !== requestId || !(await maySeeFrame(tables, actor, frameId, now))) {
    return { name: frameId, why: [{ why: "This is no picture of the request", way: null }] };
  }
  const why: Pick<Refusal, "why" | "way">[] = [];
  const against = (said: string, way: Refusal["way"] = null) => why.push({ why: said, way });
  if (row.kind === "label")
    against("It is the picture of a label: it shows name and number, and never leaves");
  if (row.placed_by === null) against("Nobody has said yet whose picture it is: place it first", "place");
  if (row.trashed_at !== null) against("It was put aside: take it back first", "take-back");
  const files = await filesOf(tables, frameId);
  const shown = files.find(({ isPicture }) => isPicture);
  if (!shown) against("Its camera files are not here any more");
  const covered = await consentForUse(tables, { scope, at: now, requestId, frameId, publication });
  if (!covered.covered) against(covered.why, "consent");
  const mask = shown ? await maskInForce(tables, frameId, shown.sha256) : null;
  if (SCOPE_RULES[scope].masksConfirmed && mask === null && shown) {
    against("Nobody has confirmed yet what must not be seen in it, or that there is nothing to mask", "mask");
  }
  if (why.length > 0 || !shown || !covered.covered) return { name: row.name, why };
  const kept = files.map(({ isPicture: _, ...file }) => file);
  const frame = { frameId, original: shown.sha256, name: row.name, takenAt: row.taken_at, mask, files: kept };
  return { frame, consentIds: covered.consentIds };
}

/** RAW files are kept beside their developed picture; that is what is shown. */
const SHOWN_FIRST = ["jpeg", "heif", "heic", "tiff", "png", "webp"];

/** The camera files of a frame that are still there, the one that is shown first. */
export async function filesOf(tables: Tables, frameId: string) {
  const rows = await tables
    .selectFrom("file")
    .select(["sha256", "name", "bytes", "format", "kind"])
    .where("frame_id", "=", frameId)
    .where("destroyed_at", "is", null)
    .orderBy("sha256")
    .execute();
  const rank = (format: string) => {
    const at = SHOWN_FIRST.indexOf(format.toLowerCase());
    return at < 0 ? SHOWN_FIRST.length : at;
  };
  return rows
    .map(({ kind, ...file }) => ({ ...file, isPicture: kind === null }))
    .sort((a, b) => rank(a.format) - rank(b.format));
}

async function lastDay(
  tables: Tables,
  consentIds: readonly string[],
  wanted: string | null,
): Promise<string | null> {
  const rows = await tables.selectFrom("consent").select("until").where("id", "in", consentIds).execute();
  const days = [wanted, ...rows.map(({ until }) => until)].filter((day) => day !== null);
  return days.sort()[0] ?? null;
}

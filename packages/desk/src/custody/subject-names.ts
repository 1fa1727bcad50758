import type { Tables } from "../access/seeing.ts";

/** What an entry of the log is about, as people call it. Whoever reads the log reads all of it. */
export interface SubjectName {
  /** Code of the request, name of the frame or card; null: nothing shorter than the subject itself. */
  readonly called: string | null;
  /** Code of the request that it leads to; null: none. */
  readonly requestCode: string | null;
  /** The frame that it is about, or that it was made of; null: none. */
  readonly frameId: string | null;
}

export const UNNAMED: SubjectName = { called: null, requestCode: null, frameId: null };

const MADE_OF_FRAMES = ["reading", "outline", "measurement", "verdict", "picture", "mask"] as const;
const OF_REQUESTS = ["plan", "visit", "consent", "release", "series"] as const;

/** The names of subjects (`frame/01J…`), as many as have one. */
export async function namesOf(
  tables: Tables,
  subjects: readonly string[],
): Promise<ReadonlyMap<string, SubjectName>> {
  const byTable = Map.groupBy(subjects, (subject) => subject.split("/")[0]);
  const idsOf = (table: string) =>
    (byTable.get(table) ?? []).map((subject) => subject.slice(table.length + 1));
  const names = new Map<string, SubjectName>();
  await nameRequests(tables, idsOf("request"), (id) => `request/${id}`, names);
  await nameFrames(tables, idsOf("frame"), (id) => `frame/${id}`, names);
  await nameFiles(tables, idsOf("file"), names);
  await nameCards(tables, idsOf("intake"), names);
  for (const table of MADE_OF_FRAMES) await nameMade(tables, table, idsOf(table), names);
  for (const table of OF_REQUESTS) await nameOfRequest(tables, table, idsOf(table), names);
  return names;
}

type Names = Map<string, SubjectName>;

async function nameRequests(
  tables: Tables,
  ids: readonly string[],
  subjectOf: (id: string) => string,
  names: Names,
): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables.selectFrom("request").select(["id", "code"]).where("id", "in", ids).execute();
  for (const { id, code } of rows) {
    names.set(subjectOf(id), { called: code, requestCode: code, frameId: null });
  }
}

async function nameFrames(
  tables: Tables,
  ids: readonly string[],
  subjectOf: (id: string) => string,
  names: Names,
): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables
    .selectFrom("frame")
    .leftJoin("request", "request.id", "frame.request_id")
    .select(["frame.id", "frame.name", "request.code"])
    .where("frame.id", "in", ids)
    .execute();
  for (const { id, name, code } of rows) {
    names.set(subjectOf(id), { called: name, requestCode: code, frameId: id });
  }
}

async function nameFiles(tables: Tables, ids: readonly string[], names: Names): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables
    .selectFrom("file")
    .select(["sha256", "name", "frame_id"])
    .where("sha256", "in", ids)
    .execute();
  for (const { sha256, name, frame_id } of rows) {
    names.set(`file/${sha256}`, { called: name, requestCode: null, frameId: frame_id });
  }
}

async function nameCards(tables: Tables, ids: readonly string[], names: Names): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables.selectFrom("intake").select(["id", "card_path"]).where("id", "in", ids).execute();
  for (const { id, card_path } of rows) {
    names.set(`intake/${id}`, { ...UNNAMED, called: card_path.split("/").at(-1) ?? card_path });
  }
}

async function nameMade(
  tables: Tables,
  table: (typeof MADE_OF_FRAMES)[number],
  ids: readonly string[],
  names: Names,
): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables.selectFrom(table).select(["id", "frame_id"]).where("id", "in", ids).execute();
  for (const [frameId, made] of Map.groupBy(rows, (row) => row.frame_id)) {
    if (frameId === null) continue;
    for (const { id } of made) await nameFrames(tables, [frameId], () => `${table}/${id}`, names);
  }
}

async function nameOfRequest(
  tables: Tables,
  table: (typeof OF_REQUESTS)[number],
  ids: readonly string[],
  names: Names,
): Promise<void> {
  if (ids.length === 0) return;
  const rows = await tables.selectFrom(table).select(["id", "request_id"]).where("id", "in", ids).execute();
  for (const { id, request_id } of rows) {
    if (request_id !== null) await nameRequests(tables, [request_id], () => `${table}/${id}`, names);
  }
}

import type { Library } from "@samescale/record";

/**
 * What a library holds, without ids and times: two libraries made of the same acts give the same value, however
 * often they were interrupted.
 */
export async function snapshotOf({ read, originals, derived }: Library): Promise<Record<string, unknown[]>> {
  const frames = await read
    .selectFrom("frame")
    .leftJoin("request", "request.id", "frame.request_id")
    .leftJoin("visit", "visit.id", "frame.visit_id")
    .select([
      "frame.id",
      "folder",
      "frame.name",
      "position",
      "frame.kind",
      "taken_raw",
      "taken_at",
      "clock",
      "codes",
    ])
    .select(["placed_by", "placing", "flags", "request.code", "visit.date", "visit.opened_by"])
    .orderBy("position")
    .execute();
  const frameNames = new Map(frames.map((frame) => [frame.id, `${frame.folder}/${frame.name}`]));
  const files = await read.selectFrom("file").selectAll().orderBy("sha256").execute();
  const cardFiles = await read.selectFrom("card_file").selectAll().orderBy("path").execute();
  const intakes = await read.selectFrom("intake").selectAll().execute();
  const visits = await read
    .selectFrom("visit")
    .innerJoin("request", "request.id", "visit.request_id")
    .select(["code", "date", "opened_by", "void_because"])
    .orderBy("code")
    .execute();
  const acts = await read.selectFrom("act").selectAll().orderBy("sequence").execute();
  const stored: unknown[] = [];
  for await (const listed of originals.list()) stored.push(listed);
  for await (const listed of derived.list()) stored.push(listed);
  const copies = await read
    .selectFrom("copy")
    .select(["sha256", "place", "bytes"])
    .orderBy("sha256")
    .execute();
  const pictures = await read
    .selectFrom("picture")
    .select(["frame_id", "recipe", "inputs", "body"])
    .orderBy("body")
    .execute();
  return {
    stored,
    copies,
    pictures: pictures.map(({ frame_id, ...picture }) => ({
      ...picture,
      frame: frameNames.get(frame_id ?? ""),
    })),
    frames: frames.map(({ id: _, ...frame }) => frame),
    files: files.map(({ frame_id, stored_at: _, ...file }) => ({
      ...file,
      frame: frame_id && frameNames.get(frame_id),
    })),
    cardFiles: cardFiles.map(({ id: _, intake_id: __, ...file }) => file),
    intakes: intakes.map((intake) => [
      intake.card_path,
      intake.finished_at !== null,
      intake.abandoned_because,
    ]),
    visits,
    acts: acts.map(({ act, actor, subject, details }) => {
      const { rows, ...said } = JSON.parse(details) as { rows: Record<string, string> };
      const tables = Object.keys(rows).map((row) => row.split("/")[0]);
      return {
        act,
        actor,
        subject: act === "file.store" ? subject : subject.split("/")[0],
        said,
        tables: tables.sort(),
      };
    }),
  };
}

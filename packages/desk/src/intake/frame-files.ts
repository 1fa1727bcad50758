import type { Desk } from "../desk.ts";
import { cameraTime } from "./camera-clock.ts";
import type { CardFrameFile } from "./card-frames.ts";
import type { KeptFile } from "./take-file.ts";
import { NOT_LOOKED_AT, type Understanding, type Understood } from "./understand.ts";

/** A file that has its frame already was looked at when it came; videos and sidecars are only kept. */
export async function beginLooking(desk: Desk, understanding: Understanding, file: KeptFile): Promise<void> {
  if (file.kind !== "picture" || (await rememberedOf(desk, file.sha256))) return;
  understanding.begin(file.sha256, file.path, file.isRaw ? "info" : "everything");
}

/** Everything that grouping and matching need, in the order of the card; one file per original. */
export async function frameFiles(
  desk: Desk,
  understanding: Understanding,
  kept: readonly KeptFile[],
  looked: () => void,
): Promise<CardFrameFile[]> {
  for (const file of rawsAlone(kept)) {
    const known = await rememberedOf(desk, file.sha256);
    if (!known) understanding.begin(file.sha256, file.path, "everything");
  }
  const files = new Map<string, CardFrameFile>();
  for (const { sha256, path, kind, isRaw } of kept) {
    if (files.has(sha256)) continue;
    const known = await rememberedOf(desk, sha256);
    const asked = kind === "picture" ? understanding.of(sha256) : NOT_LOOKED_AT;
    const understood = known?.understood ?? (await asked);
    looked();
    files.set(sha256, {
      sha256,
      path,
      kind,
      isRaw: understood.info ? understood.info.format === "raw" : isRaw,
      taken: cameraTime(understood.info?.takenAt ?? null).local,
      understood,
      frameId: known?.frameId ?? null,
    });
  }
  return [...files.values()];
}

/** What an earlier intake saw in a file; null when it has no frame yet. */
async function rememberedOf(
  { library }: Desk,
  sha256: string,
): Promise<{ readonly frameId: string; readonly understood: Understood } | null> {
  const row = await library.read
    .selectFrom("file")
    .innerJoin("frame", "frame.id", "file.frame_id")
    .select(["frame.id", "file.info", "frame.codes"])
    .where("file.sha256", "=", sha256)
    .executeTakeFirst();
  if (!row) return null;
  const understood = {
    ...NOT_LOOKED_AT,
    info: row.info === null ? null : JSON.parse(row.info),
    codes: row.codes === null ? null : JSON.parse(row.codes),
  };
  return { frameId: row.id, understood };
}

/** RAW files without a developed file of their name: nothing else can be asked for the frame's codes. */
function rawsAlone(kept: readonly KeptFile[]): KeptFile[] {
  const pictures = kept.filter((file) => file.kind === "picture");
  const stem = (path: string) => path.replace(/\.[^./]*$/, "").toLowerCase();
  const developed = new Set(pictures.filter((file) => !file.isRaw).map((file) => stem(file.path)));
  return pictures.filter((file) => file.isRaw && !developed.has(stem(file.path)));
}

import type { InfoAnswer } from "@samescale/picture";
import type { ActContext } from "../act/define-act.ts";
import { cameraTime } from "./camera-clock.ts";
import { type CardPicture, type Exposure, folderAndName, groupFiles, nameOfExposure } from "./group-files.ts";
import {
  type Known,
  type KnownRequest,
  type Matchable,
  type MatchOptions,
  matchFrames,
  type Placing,
} from "./match.ts";
import { byClock } from "./order-frames.ts";
import type { Understood } from "./understand.ts";

/** A file of the card that was taken in, with what is known of it. */
export interface CardFrameFile extends CardPicture {
  readonly understood: Understood;
  /** The frame it belongs to since an earlier intake. */
  readonly frameId: string | null;
}

/** A new frame, ready to be written. */
export interface PlacedFrame {
  readonly exposure: Exposure<CardFrameFile>;
  /** From 1, in the order of the card. */
  readonly position: number;
  readonly takenRaw: string | null;
  readonly takenCamera: string | null;
  readonly codes: readonly string[] | null;
  readonly flags: readonly string[];
  readonly placing: Placing;
}

export interface CardFrames {
  readonly fresh: readonly PlacedFrame[];
  /** Files that came to a frame of an earlier intake: the RAW to a JPEG that was here. */
  readonly joining: readonly { readonly file: CardFrameFile; readonly frameId: string }[];
}

/**
 * Groups the card's files into frames and says whose each is. Frames of earlier intakes give context only.
 *
 * @param gaps paths of files that may be pictures and could not be had: any of them may be a label frame
 */
export function cardFrames(
  files: readonly CardFrameFile[],
  gaps: readonly string[],
  known: Known,
  options?: MatchOptions,
): CardFrames {
  const exposures = groupFiles(files);
  const matchables = exposures.map(matchable);
  const missing = gapsAmong(exposures, gaps);
  const placings = matchFrames([...matchables, ...missing], known, options);
  const order = new Map(byClock(matchables).map(({ id }, at) => [id, at + 1]));
  const fresh: PlacedFrame[] = [];
  const joining: { file: CardFrameFile; frameId: string }[] = [];
  exposures.forEach((exposure, at) => {
    const { id } = matchables[at]!;
    const frameId = exposure.files.find((file) => file.frameId !== null)?.frameId ?? null;
    if (frameId !== null) {
      for (const file of exposure.files) if (file.frameId === null) joining.push({ file, frameId });
      return;
    }
    const time = cameraTime(bestInfo(exposure)?.takenAt ?? null);
    const flags = [...exposure.files.flatMap((file) => file.understood.flags), exposure.flag ?? []].flat();
    fresh.push({
      exposure,
      position: order.get(id)!,
      takenRaw: time.raw,
      takenCamera: time.local,
      codes: codesOf(exposure),
      flags: [...new Set(flags)],
      placing: placings.get(id)!,
    });
  });
  return { fresh: fresh.sort((a, b) => a.position - b.position), joining };
}

/** A file that is missing beside another of its exposure, which could be looked at, is no gap. */
function gapsAmong(exposures: readonly Exposure<CardFrameFile>[], gaps: readonly string[]): Matchable[] {
  const seen = new Set(
    exposures
      .filter((exposure) => codesOf(exposure) !== null)
      .flatMap(({ files }) => files.map(({ path }) => nameOfExposure(path))),
  );
  return gaps
    .filter((path) => !seen.has(nameOfExposure(path)))
    .map((path) => ({ id: path, ...folderAndName(path), taken: null, camera: null, codes: null }));
}

function matchable(exposure: Exposure<CardFrameFile>): Matchable {
  const info = bestInfo(exposure);
  return {
    id: exposure.files[0]!.path,
    folder: exposure.folder,
    name: exposure.name,
    taken: cameraTime(info?.takenAt ?? null).local,
    camera: info?.make || info?.model ? `${info.make ?? ""} ${info.model ?? ""}` : null,
    codes: codesOf(exposure),
  };
}

/** The developed file's when it could be read, else the RAW's. */
function bestInfo(exposure: Exposure<CardFrameFile>): InfoAnswer | null {
  return exposure.files.find((file) => file.understood.info !== null)?.understood.info ?? null;
}

/** Codes of the first picture that could be looked at; null when none could. A video alone is no label frame. */
function codesOf({ files }: Exposure<CardFrameFile>): readonly string[] | null {
  const pictures = files.filter((file) => file.kind === "picture");
  if (pictures.length === 0) return [];
  return pictures.find((file) => file.understood.codes !== null)?.understood.codes ?? null;
}

/** What the library knows of the codes seen on a card, asked once. */
export async function knownCodes(tables: ActContext["tables"], texts: readonly string[]): Promise<Known> {
  const wanted = [...new Set(texts.flatMap((text) => [text, text.split(":")[1] ?? text]))];
  const requests = new Map<string, KnownRequest>();
  const numbers = new Set<string>();
  for (let at = 0; at < wanted.length; at += AT_ONCE) {
    const some = wanted.slice(at, at + AT_ONCE);
    const rows = await tables
      .selectFrom("request")
      .leftJoin("patient", "patient.id", "request.patient_id")
      .select(["request.id", "request.code", "patient.number"])
      .where("request.code", "in", some)
      .execute();
    for (const { id, code, number } of rows) requests.set(code, { id, code, patientNumber: number });
    const patients = await tables
      .selectFrom("patient")
      .select("number")
      .where("number", "in", some)
      .execute();
    for (const { number } of patients) numbers.add(number);
  }
  return {
    requestByCode: (code) => requests.get(code) ?? null,
    isPatientNumber: (text) => numbers.has(text),
  };
}

const AT_ONCE = 500;

import { readFileSync } from "node:fs";
import { SamescaleError } from "@samescale/errors";
import type { ArrivalAnswer, InfoAnswer, LabelAnswer } from "@samescale/picture";
import type { Actor } from "../src/act/actor.ts";
import type { Pictures } from "../src/intake/understand.ts";

export const MARA: Actor = { name: "mara", role: "photographer" };

export const NOON = new Date("2026-03-15T12:00:00Z");

/** What a made-up picture says of itself to `madeUpPictures`. */
export interface MadeUp {
  /** As the camera writes it: `2026:03:15 09:00:00`. */
  readonly taken?: string | null;
  readonly codes?: readonly string[];
  readonly model?: string;
  readonly raw?: boolean;
  /** The picture cannot be decoded. */
  readonly broken?: boolean;
  /** Makes files larger. */
  readonly padding?: number;
}

const MARK = "\nmade up: ";

/** Begins like a JPEG (or a RAW), and tells a test what cameras tell in pixels. */
export function madeUpFile(said: MadeUp): Buffer {
  const head = Buffer.from(said.raw ? "49492a0008000000" : "ffd8ffe1", "hex");
  const padding = Buffer.alloc(said.padding ?? 100, JSON.stringify(said));
  return Buffer.concat([head, padding, Buffer.from(MARK + JSON.stringify(said))]);
}

/** Stands for the picture pool; only what intake asks for. */
export const madeUpPictures: Pictures = {
  async run(task, input) {
    const { file } = input as { file: string };
    const bytes = readFileSync(file);
    const at = bytes.lastIndexOf(MARK);
    if (at < 0) throw new SamescaleError("PICTURE_DAMAGED", `Not made up: ${file}`, "x");
    const said = JSON.parse(bytes.toString("utf8", at + MARK.length)) as MadeUp;
    if (said.broken) throw new SamescaleError("PICTURE_DAMAGED", `Cannot be decoded: ${file}`, "x");
    return (task === "arrival" ? arrivalOf(file, said) : infoOf(file, said)) as never;
  },
};

/** The small pictures hold only what the file says, so that each file has its own. */
function arrivalOf(file: string, said: MadeUp): ArrivalAnswer {
  const small = (use: "thumbnail" | "preview", widthPx: number) => ({
    use,
    jpeg: Buffer.from(`${use} of ${JSON.stringify({ ...said, padding: 0 })}`),
    widthPx,
    heightPx: (2 * widthPx) / 3,
  });
  return {
    info: infoOf(file, said),
    codes: labelOf(file, said).codes,
    labelWarnings: [],
    pictures: [small("thumbnail", 480), small("preview", 1980)],
    faults: [],
  };
}

function labelOf(file: string, { codes = [] }: MadeUp): LabelAnswer {
  const corners = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ] as const;
  return {
    file,
    codes: codes.map((text) => ({ format: "qr", text, aim: "", gs1: null, corners })),
    warnings: [],
  };
}

function infoOf(file: string, { taken = null, model = "body one", raw }: MadeUp): InfoAnswer {
  const iso = taken?.replace(/^(\d{4}):(\d\d):(\d\d) /, "$1-$2-$3T") ?? null;
  const isTime = iso !== null && !Number.isNaN(Date.parse(`${iso}Z`));
  return {
    file,
    format: raw ? "raw" : "jpeg",
    widthPx: 6000,
    heightPx: 4000,
    orientation: 1,
    takenAt: taken === null ? null : { raw: taken, iso: isTime ? iso : null, zone: "not stated" },
    make: "maker",
    model,
    lens: null,
    focalMm: 100,
    fNumber: 16,
    exposureS: 0.005,
    iso: 100,
    flashFired: true,
    subjectDistanceMm: null,
    sensorWidthMm: null,
    frame: { changed: null, writtenAgain: null, notesMissing: false },
    sha256: "",
    bytes: 0,
    warnings: [],
  };
}

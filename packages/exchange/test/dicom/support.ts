import { spawnSync } from "node:child_process";
import sharp from "sharp";
import type { DicomPhotograph } from "../../src/dicom/photograph.ts";
import type { DicomStudy } from "../../src/dicom/study.ts";

/** False, or what to say when a program is not here. */
export const missing = (program: string, debianPackage: string): string | false =>
  spawnSync(program, ["--version"]).error === undefined
    ? false
    : `${program} is not on this machine (Debian package ${debianPackage})`;

export const study: DicomStudy = {
  ids: ["01REQUEST", "2026-05-01"],
  patient: {
    number: "A1234567",
    authority: "Fernhill Infirmary (invented)",
    name: { text: "Zoë Ångström" },
    birthDate: "1950-02-03",
  },
  deidentified: null,
  code: "R-101",
  day: "2026-05-01",
  beganAt: "2026-05-01T10:01:02",
  description: "Leg wound, left shin",
  operator: "A. Photographer",
};

export const photograph = (picture: Uint8Array, changes: Partial<DicomPhotograph> = {}): DicomPhotograph => ({
  ids: ["01FRAME", "hash of the picture"],
  number: 1,
  picture,
  derivation: null,
  takenAt: "2026-05-01T10:01:02",
  part: "lower leg",
  side: "left",
  viewName: "Close-up with scale",
  recognisable: false,
  camera: {
    make: "A maker",
    model: "A model",
    lens: "105 mm",
    focalMm: 105,
    fNumber: 16,
    exposureS: 1 / 125,
    iso: 100,
    subjectDistanceMm: 533,
  },
  calibration: {
    mmPerPx: { value: 0.03916666666666666, u95: 0.0001 },
    description: "L-shaped scale in the picture, 100 mm of it read, camera leaned 2 ± 0.4 degrees",
    holdsEverywhere: true,
  },
  ...changes,
});

/** Skin-coloured noise, so that compressed data have every kind of byte. */
export async function jpeg(
  width = 301,
  height = 200,
  options: {
    readonly progressive?: boolean;
    readonly orientation?: number;
    readonly grey?: boolean;
    readonly subsampling?: string;
  } = {},
): Promise<Buffer> {
  const pixels = Buffer.alloc(width * height * 3);
  for (let i = 0; i < pixels.length; i++) pixels[i] = 128 + 60 * Math.sin(i * 0.37) + ((i * 2654435761) % 41);
  let picture = sharp(pixels, { raw: { width, height, channels: 3 } });
  if (options.grey) picture = picture.greyscale();
  if (options.orientation) picture = picture.withMetadata({ orientation: options.orientation });
  return await picture
    .jpeg({
      quality: 85,
      progressive: options.progressive ?? false,
      chromaSubsampling: options.subsampling ?? "4:2:0",
    })
    .toBuffer();
}

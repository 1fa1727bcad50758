import type { InfoAnswer } from "../answers.ts";
import type { Size } from "../decode/fitting-size.ts";
import type { PictureKind } from "../decode/picture-kind.ts";
import { cleanText, positiveNumber } from "./clean-value.ts";
import type { ExifTags, TagName } from "./exif-tags.ts";

type Warn = (said: string) => void;
type Values = ReadonlyMap<TagName, unknown>;

/** The camera writes both times at once; some write the file a few seconds later. */
const SAME_MOMENT_S = 60;

/**
 * What tells that a picture is not the camera's whole frame, pixel for pixel, and what tells that the file was written
 * again, so that it may not be. A crop of the frame's own shape cannot be told from a smaller copy. RAW files are as the
 * camera wrote them.
 * @source EXIF232, 4.6.5: PixelXDimension, DigitalZoomRatio; 4.6.4: DateTime
 */
export function frameOf(tags: ExifTags, stored: Size, kind: PictureKind, warn: Warn): InfoAnswer["frame"] {
  if (kind === "raw") return { changed: null, writtenAgain: null, notesMissing: false };
  return {
    changed: changedBy(tags.values, stored, kind, warn),
    writtenAgain: signOfWriting(tags.values, warn),
    notesMissing: tags.values.has("make") && !tags.hasMakerNote,
  };
}

function changedBy(values: Values, stored: Size, kind: PictureKind, warn: Warn): string | null {
  const zoom = positiveNumber(values.get("digitalZoomRatio"), "digital zoom", warn);
  if (zoom !== null && zoom !== 1) return `digital zoom ${Math.round(1000 * zoom) / 1000} was used`;
  // In a TIFF the width and length are those of its own pixels; elsewhere they are a copy of the camera's.
  const pairs: [TagName, TagName][] = [["pixelXDimension", "pixelYDimension"]];
  if (kind !== "tiff") pairs.push(["imageWidth", "imageLength"]);
  for (const [across, down] of pairs) {
    const widthPx = positiveNumber(values.get(across), "picture width", warn);
    const heightPx = positiveNumber(values.get(down), "picture height", warn);
    if (widthPx === null || heightPx === null) continue;
    const same =
      Math.min(widthPx, heightPx) === Math.min(stored.widthPx, stored.heightPx) &&
      Math.max(widthPx, heightPx) === Math.max(stored.widthPx, stored.heightPx);
    if (!same) {
      return `the picture is ${stored.widthPx} x ${stored.heightPx} px, the camera wrote ${widthPx} x ${heightPx}`;
    }
  }
  return null;
}

function signOfWriting(values: Values, warn: Warn): string | null {
  if (values.get("make") === undefined && values.get("focalLength") === undefined) {
    return "the file keeps nothing that a camera wrote";
  }
  const taken = secondsOf(cleanText(values.get("dateTimeOriginal"), "takenAt", warn));
  const written = secondsOf(cleanText(values.get("dateTime"), "date of the last change", warn));
  if (taken !== null && written !== null && Math.abs(written - taken) > SAME_MOMENT_S) {
    return "the date of its last change is not that of the exposure";
  }
  return null;
}

/** Exif times have no zone; both are by the same clock. */
function secondsOf(text: string | null): number | null {
  const at = text?.match(/^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)$/);
  if (!at) return null;
  const [year, month, day, hour, minute, second] = at.slice(1).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return Date.UTC(year, month - 1, day, hour, minute, second) / 1000;
}

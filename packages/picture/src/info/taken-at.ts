import type { InfoAnswer } from "../answers.ts";
import { cleanText } from "./clean-value.ts";
import type { TagName } from "./exif-tags.ts";

/** `YYYY:MM:DD HH:MM:SS` by the standard; some writers use dashes in the date or a `T` before the time. */
const EXIF_TIME = /^(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})$/;
const OFFSET = /^[+-](0\d|1[0-4]):[0-5]\d$/;
const XMP_TIME =
  /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(Z|[+-](?:0\d|1[0-4]):[0-5]\d)?$/;

/** What `zone` says when the file does not state one. Nothing is inferred from elsewhere. */
export const ZONE_NOT_STATED = "not stated";

/**
 * When the shutter was released, by the camera's clock. `iso` is that local time, followed by the offset only
 * when the file states it; null when the text is not a time of the calendar.
 */
export function takenAt(
  values: ReadonlyMap<TagName, unknown>,
  warn: (said: string) => void,
): InfoAnswer["takenAt"] {
  const raw = cleanText(values.get("dateTimeOriginal"), "takenAt", warn);
  // A clock that was never set is written as blanks between the colons.
  if (raw === null || /^[\s:]*$/.test(raw)) return null;
  const stated = cleanText(values.get("offsetTimeOriginal"), "takenAt zone", warn);
  const zone = stated !== null && OFFSET.test(stated) ? stated : ZONE_NOT_STATED;
  if (stated !== null && zone !== stated && !/^[\s:+-]*$/.test(stated)) {
    warn(`takenAt: the zone "${stated}" is not an offset such as +01:00; not used.`);
  }
  const parts = EXIF_TIME.exec(raw);
  const local = parts ? calendarTime(parts) : null;
  if (local === null) {
    warn(`takenAt: "${raw}" is not a time of the calendar.`);
    return { raw, iso: null, zone };
  }
  const subSeconds = cleanText(values.get("subSecTimeOriginal"), "takenAt sub-seconds", warn);
  const fraction = subSeconds !== null && /^\d{1,9}$/.test(subSeconds) ? `.${subSeconds}` : "";
  return { raw, iso: `${local}${fraction}${zone === ZONE_NOT_STATED ? "" : zone}`, zone };
}

const XMP_SEARCH_BYTES = 4 * 1024 * 1024;
const XMP_NAME = "exif:DateTimeOriginal";

/**
 * The same from an XMP packet, for files whose camera metadata an editing program took out. Only this one value
 * is looked for, by a plain search: an XML parser would be one more thing to feed hostile data to.
 */
export function takenAtFromXmp(bytes: Buffer, warn: (said: string) => void): InfoAnswer["takenAt"] {
  const at = bytes.subarray(0, XMP_SEARCH_BYTES).indexOf(XMP_NAME, 0, "latin1");
  if (at < 0) return null;
  const behind = bytes.toString("latin1", at + XMP_NAME.length, at + XMP_NAME.length + 64);
  const text = /^(?:\s*=\s*["']|>)([^"'<>]{1,40})["'<]/.exec(behind)?.[1]?.trim();
  if (!text) return null;
  const parts = XMP_TIME.exec(text);
  const local = parts ? calendarTime(parts) : null;
  if (!parts || local === null) {
    warn("takenAt: the XMP packet's time is not one of the calendar; not used.");
    return null;
  }
  warn("takenAt: from the XMP packet, which a program wrote; the camera's own time is not in the file.");
  return { raw: text, iso: `${local}${parts[7] ?? ""}`, zone: parts[7] ?? ZONE_NOT_STATED };
}

/** `YYYY-MM-DDTHH:MM:SS` when the numbers are a day of the calendar and a time of the day. */
function calendarTime(parts: RegExpExecArray): string | null {
  const [year, month, day, hour, minute, second] = parts.slice(1, 7).map((part) => Number(part ?? 0));
  const date = new Date(Date.UTC(year!, month! - 1, day!, hour!, minute!, second!));
  const same =
    date.getUTCFullYear() === year &&
    date.getUTCMonth() === month! - 1 &&
    date.getUTCDate() === day &&
    date.getUTCHours() === hour &&
    date.getUTCMinutes() === minute &&
    date.getUTCSeconds() === second;
  return same ? date.toISOString().slice(0, 19) : null;
}

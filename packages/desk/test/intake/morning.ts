import { HAND_LABEL, LEG_LABEL } from "../support.ts";

/** Minutes after nine of one morning, as EXIF writes them. */
export const at = (minute: number) => `2026:03:15 09:${String(minute).padStart(2, "0")}:00`;

/** A morning: two patients behind their label frames, one frame before, a RAW beside its JPEG. */
export const MORNING = {
  "DCIM/100CLINI/DSC_0001.JPG": { taken: at(0) },
  "DCIM/100CLINI/DSC_0002.JPG": { taken: at(1), codes: [LEG_LABEL] },
  "DCIM/100CLINI/DSC_0003.JPG": { taken: at(2) },
  "DCIM/100CLINI/DSC_0003.NEW": { taken: at(2), raw: true },
  "DCIM/100CLINI/DSC_0004.JPG": { taken: at(20), codes: [HAND_LABEL] },
  "DCIM/100CLINI/DSC_0005.JPG": { taken: at(21) },
} as const;

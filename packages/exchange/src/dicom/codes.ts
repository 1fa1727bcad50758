import type { Dataset } from "./part10.ts";

/** A concept of a coding scheme. */
export interface Code {
  readonly value: string;
  /** SCT: SNOMED CT; DCM: DICOM's own; UCUM: units. */
  readonly scheme: "SCT" | "DCM" | "UCUM" | "RFC5646";
  readonly meaning: string;
}

export const dcm = (value: string, meaning: string): Code => ({ value, scheme: "DCM", meaning });
export const sct = (value: string, meaning: string): Code => ({ value, scheme: "SCT", meaning });

export const codeItem = ({ value, scheme, meaning }: Code): Dataset => ({
  CodeValue: value,
  CodingSchemeDesignator: scheme,
  CodeMeaning: meaning,
});

/** Units as UCUM writes them. */
export const UNITS = {
  mm: { value: "mm", scheme: "UCUM", meaning: "millimeter" },
  mm2: { value: "mm2", scheme: "UCUM", meaning: "square millimeter" },
  deg: { value: "deg", scheme: "UCUM", meaning: "Degree" },
} as const satisfies Readonly<Record<string, Code>>;

/** Half the width of the 95 % interval: DICOM's own concept for it. @source DicomPS3.16 CID 225 */
export const UNCERTAINTY = sct("371884006", "+/-, range of measurement uncertainty");
export const LEFT = sct("7771000", "Left");
export const RIGHT = sct("24028007", "Right");
export const BILATERAL = sct("51440002", "Bilateral");
export const FINDING_SITE = sct("363698007", "Finding Site");
export const LATERALITY = sct("272741003", "Laterality");

import type { Dataset } from "./part10.ts";
import { dayText, exactText, freeText, type PersonName, personName, timeText } from "./text.ts";
import { uidOf } from "./uid.ts";

export type Side = "left" | "right" | "both" | null;

/** Whom and what the objects of one release are of; the same for every image and report in it. */
export interface DicomStudy {
  /** Names the study for ever. */
  readonly ids: readonly string[];
  /** Null: taken out, or nobody (a non-clinical request). */
  readonly patient: {
    readonly number: string;
    /** The authority that gave the number. */
    readonly authority: string;
    readonly name: PersonName;
    readonly birthDate: string | null;
  } | null;
  /** De-identified: what was done, and the code that stands for the patient in a research project. */
  readonly deidentified: { readonly method: string; readonly pseudonym: string | null } | null;
  /** Of the request, or of the release where that must not be known. */
  readonly code: string | null;
  /** YYYY-MM-DD. */
  readonly day: string | null;
  /** Local time of the first picture, YYYY-MM-DDTHH:MM:SS. */
  readonly beganAt: string | null;
  readonly description: string | null;
  readonly operator: string | null;
}

/** Modules of patient and study. @source DicomPS3.3 C.7.1.1, C.7.2.1 */
export function identityModules(study: DicomStudy): Dataset {
  const { patient, deidentified } = study;
  return {
    PatientName: nameOf(study),
    PatientID:
      patient === null
        ? exactText(deidentified?.pseudonym ?? "", "LO", "research code")
        : exactText(patient.number, "LO", "patient number"),
    IssuerOfPatientID: patient === null ? undefined : freeText(patient.authority, "LO"),
    PatientBirthDate: dayText(patient?.birthDate ?? null),
    PatientSex: "",
    PatientIdentityRemoved: deidentified === null ? "NO" : "YES",
    DeidentificationMethod: deidentified === null ? undefined : freeText(deidentified.method, "LO"),
    StudyInstanceUID: studyUid(study),
    StudyDate: dayText(study.day),
    StudyTime: timeText(study.beganAt),
    ReferringPhysicianName: "",
    StudyID: study.code === null ? "" : freeText(study.code, "SH"),
    AccessionNumber: "",
    StudyDescription: study.description === null ? undefined : freeText(study.description, "LO"),
  };
}

function nameOf({ patient, deidentified }: DicomStudy): string {
  if (patient !== null) return personName(patient.name);
  return deidentified?.pseudonym ? personName({ text: deidentified.pseudonym }) : "";
}

export const studyUid = ({ ids }: DicomStudy): string => uidOf("study", ...ids);

/** As Image Laterality writes it; null where a side means nothing. @source DicomPS3.3 C.7.6.1 */
export const laterality = (side: Side): "L" | "R" | "B" | null =>
  side === "left" ? "L" : side === "right" ? "R" : side === "both" ? "B" : null;

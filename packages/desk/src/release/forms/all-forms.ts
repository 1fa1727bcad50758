import type { ReleaseForm } from "../form.ts";
import { contactSheetForm } from "./contact-sheet.ts";
import { dicomForm } from "./dicom.ts";
import { evidenceForm } from "./evidence/evidence.ts";
import { fhirForm } from "./fhir.ts";
import { picturesForm } from "./pictures.ts";
import { tableForm } from "./table.ts";
import { trueSizeForm } from "./true-size.ts";

/** Every form that is made of a request's own pictures, without more than them; a report is made first and then let out. */
export const RELEASE_FORMS: readonly ReleaseForm[] = [
  picturesForm,
  contactSheetForm,
  trueSizeForm,
  tableForm,
  dicomForm,
  fhirForm,
  evidenceForm,
];

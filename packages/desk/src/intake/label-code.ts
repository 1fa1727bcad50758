import { gs1Elements } from "@samescale/picture";

/**
 * What a shot card's or label's 2-D code says (docs/label-code.md): `SR1:` the request's code, and behind another
 * colon the patient's number, so that two identifiers can agree. The digit is the version of this form.
 */
const PREFIX = "SR1:";
const REQUEST_CODE = /^[A-Z0-9][A-Z0-9-]{0,31}$/;

export interface LabelCode {
  readonly requestCode: string;
  /** Null: the label names the request only. */
  readonly patientNumber: string | null;
}

export const isRequestCode = (text: string): boolean => REQUEST_CODE.test(text);

/** The text to print as a code. `labelCodeText("R-17", "HN12345")` is `SR1:R-17:HN12345`. */
export function labelCodeText(requestCode: string, patientNumber: string | null): string {
  return patientNumber === null ? `${PREFIX}${requestCode}` : `${PREFIX}${requestCode}:${patientNumber}`;
}

/** Reads it back; null: the text is no label of ours; `broken`: it begins like one and cannot be read. */
export function parseLabelCode(text: string): LabelCode | "broken" | null {
  if (!/^SR\d+:/.test(text)) return null;
  if (!text.startsWith(PREFIX)) return "broken";
  const rest = text.slice(PREFIX.length);
  const colon = rest.indexOf(":");
  const requestCode = colon < 0 ? rest : rest.slice(0, colon);
  const patientNumber = colon < 0 ? null : rest.slice(colon + 1);
  if (!isRequestCode(requestCode) || patientNumber?.trim() === "") return "broken";
  return { requestCode, patientNumber };
}

/**
 * The patient's number in a GS1 wristband: application identifier 8018 and 18 digits, which stand without the
 * identifier in the record. Null for any other code.
 *
 * @source ISO18530
 */
export function wristbandNumber(code: { readonly text: string; readonly aim: string }): string | null {
  const elements = gs1Elements(code.text, code.aim)?.elements ?? [];
  return elements.find(({ ai }) => ai === "8018")?.value ?? null;
}

/** What in a code can be a patient's number: that of a label of ours, of a GS1 wristband, or else the whole text. */
export function numberInCode(code: { readonly text: string; readonly aim: string }): string | null {
  const label = parseLabelCode(code.text);
  if (label === "broken") return null;
  return label ? label.patientNumber : (wristbandNumber(code) ?? code.text);
}

import { type Code, sct } from "./codes.ts";

/**
 * Parts of the body as view sets and requests name them, with SNOMED CT codes as DICOM's own dictionary prints them.
 * What is not here has no code that we could check, and is written as text: a wrong code is worse than none.
 * @source DicomPS3.16 CID 4, CID 4031, as carried in pydicom's dictionary
 */
const CODES: Readonly<Record<string, Code>> = {
  abdomen: sct("113345001", "Abdomen"),
  back: sct("77568009", "Back"),
  breast: sct("76752008", "Breast"),
  buttock: sct("46862004", "Buttock"),
  chest: sct("51185008", "Chest"),
  ear: sct("117590005", "Ear"),
  eye: sct("81745001", "Eye"),
  face: sct("89545001", "Face"),
  finger: sct("7569003", "Finger"),
  foot: sct("56459004", "Foot"),
  forearm: sct("14975008", "Forearm"),
  "full length": sct("38266002", "Entire body"),
  hand: sct("85562004", "Hand"),
  head: sct("69536005", "Head"),
  "head and neck": sct("774007", "Head and Neck"),
  "intra-oral": sct("74262004", "oral cavity"),
  "intra-oral quadrant": sct("74262004", "oral cavity"),
  knee: sct("72696002", "Knee"),
  lip: sct("48477009", "lip"),
  "lower leg": sct("30021000", "Lower leg"),
  "lower limb": sct("61685007", "Lower limb"),
  mouth: sct("123851003", "Mouth"),
  neck: sct("45048000", "Neck"),
  nose: sct("45206002", "Nose"),
  scalp: sct("41695006", "Scalp"),
  shoulder: sct("16982005", "Shoulder"),
  skin: sct("39937001", "Skin"),
  thigh: sct("68367000", "Thigh"),
  toe: sct("29707007", "Toe"),
  tongue: sct("21974007", "tongue"),
  torso: sct("22943007", "Trunk"),
  trunk: sct("22943007", "Trunk"),
  "upper arm": sct("40983000", "Upper arm"),
  "upper limb": sct("53120007", "Upper limb"),
};

/** More than one, in the singular of which the code stands. */
const PLURALS: Readonly<Record<string, string>> = {
  breasts: "breast",
  ears: "ear",
  eyes: "eye",
  feet: "foot",
  hands: "hand",
};

/** The code of a part of the body, or null where none is known for certain. */
export function bodyPartCode(part: string): Code | null {
  const name = part.trim().toLowerCase();
  return Object.hasOwn(CODES, name) ? CODES[name]! : (CODES[PLURALS[name] ?? ""] ?? null);
}

const PAIRED = new Set(
  "breast buttock ear eye foot forearm hand knee shoulder thigh"
    .split(" ")
    .concat("lower leg", "lower limb", "upper arm", "upper limb"),
);

/** There are two of it, so that a picture shows the left, the right or both. */
export const isPaired = (part: string): boolean => {
  const name = part.trim().toLowerCase();
  return PAIRED.has(PLURALS[name] ?? name);
};

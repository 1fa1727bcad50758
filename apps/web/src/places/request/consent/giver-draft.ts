import type { ConsentOfRequest } from "@samescale/server";

export type Question = ConsentOfRequest["questions"][number];
export type Capacity = Question["capacities"][number];
export type AnswerOnRecord = ConsentOfRequest["answers"][number];

/** Who answers, as it is being said: it holds for every question until it is changed. */
export interface GiverDraft {
  readonly capacity: Capacity;
  readonly how: "spoken" | "written";
  readonly name: string;
  readonly relation: string;
  readonly child: "agrees" | "disagrees" | "cannot-say";
  readonly policy: string;
  readonly askAgainOn: string;
  readonly basis: string;
  readonly assessedBy: string;
  readonly found: string;
  /** On a non-clinical request: who of those portrayed. */
  readonly person: string;
}

/** Whoever is asked first: the patient, of a child whoever has parental responsibility. */
export const firstGiver = ({ patient, portrayed }: ConsentOfRequest): GiverDraft => ({
  capacity: patient?.isChild ? "parental-responsibility" : "patient",
  how: "spoken",
  name: "",
  relation: "",
  child: "cannot-say",
  policy: "",
  askAgainOn: "",
  basis: "",
  assessedBy: "",
  found: "",
  person: portrayed[0]?.name ?? "",
});

/** As the server takes it. */
export function giverSent(giver: GiverDraft, isPatient: boolean) {
  const { how, assessedBy, found, person } = giver;
  return {
    by: byOf(giver),
    how,
    ...(assessedBy.trim() !== "" && { assessed: { by: assessedBy.trim(), found: found.trim() } }),
    ...(!isPatient && person !== "" && { person }),
  };
}

function byOf({ capacity, name, relation, child, policy, askAgainOn, basis }: GiverDraft) {
  switch (capacity) {
    case "patient":
      return { capacity };
    case "parental-responsibility":
      return { capacity, name: name.trim(), relation: relation.trim(), child };
    case "best-interest":
      return { capacity, name: name.trim(), policy: policy.trim(), askAgainOn: askAgainOn.trim() || null };
    case "legal-basis":
      return { capacity, name: name.trim(), basis: basis.trim() };
  }
}

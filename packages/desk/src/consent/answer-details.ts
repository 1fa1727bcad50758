/** What else an answer keeps, as JSON in its row. */
export interface AnswerDetails {
  /** Who is portrayed, on a non-clinical request. */
  readonly person?: string;
  /** The text that was put, word for word, and its SHA-256. */
  readonly text: string;
  readonly textSha256: string;
  readonly how: "written" | "spoken";
  /** Parental responsibility: what they are to the patient, and what the child says of it. */
  readonly relation?: string;
  readonly child?: ChildsWord;
  /** Best interest: under which policy, and from which day on the patient should be asked. */
  readonly policy?: string;
  readonly askAgainOn?: string;
  /** Evidence: which legal basis. */
  readonly basis?: string;
  /** Who assessed whether the patient can decide, and what they found. */
  readonly assessed?: { readonly by: string; readonly found: string };
}

/** A child's own word beside that of whoever has parental responsibility. */
export const CHILDS_WORDS = ["agrees", "disagrees", "cannot-say"] as const;
export type ChildsWord = (typeof CHILDS_WORDS)[number];

export const detailsOf = (details: string): AnswerDetails => JSON.parse(details) as AnswerDetails;

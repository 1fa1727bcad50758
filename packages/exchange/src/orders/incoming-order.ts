/** An order from another system in plain words, whatever form it came in. Texts are as they were sent. */
export interface IncomingOrder {
  /** What is to be done with it: a new or changed request, or one that is called off. */
  readonly what: "request" | "call-off";
  /** Its name in the system that sent it: the same order again is the same pair. */
  readonly identifier: { readonly system: string; readonly value: string };
  /** Null: the order names nobody (a non-clinical request). */
  readonly patient: IncomingPatient | null;
  readonly title: string | null;
  readonly requester: string | null;
  readonly site: string | null;
  /** Ward or clinic. */
  readonly place: string | null;
  readonly patientIs: "in-patient" | "out-patient" | null;
  readonly priority: "routine" | "urgent" | "asap" | "stat";
  readonly parts: readonly { readonly part: string; readonly side: "left" | "right" | "both" | "none" }[];
  readonly purpose: string | null;
  /** YYYY-MM-DD. */
  readonly dueDate: string | null;
  /** Local time, YYYY-MM-DDTHH:MM, of the appointment; null where only a day or nothing is given. */
  readonly bookedAt: string | null;
  /** What has no place of its own: hazards, notes, clinical information, word for word. */
  readonly notes: readonly string[];
}

export interface IncomingPatient {
  readonly number: string;
  /** Who gave the number, as the sender names it. */
  readonly authority: string;
  readonly familyName: string;
  readonly givenName: string;
  /** YYYY-MM-DD. */
  readonly birthDate: string | null;
}

/** An order, or why what stands there is none that can be taken. */
export type ReadOrder = { readonly order: IncomingOrder } | { readonly fault: string };

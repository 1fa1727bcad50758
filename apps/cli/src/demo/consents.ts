import {
  type Actor,
  type Desk,
  doneOrThrow,
  giveConsent,
  type NewAnswer,
  namePortrayed,
  refuseConsent,
} from "@samescale/desk";
import type { ConsentRules } from "@samescale/practice";

/** Before the first visit. */
const ASKED_AT = "2026-03-01T09:00:00Z";
const JOURNAL = "Invented Annals of Skin, summer issue";
const NOTICE = "staff notice on the infirmary's own site (invented)";

/** What is answered beyond care: request, and the answer. */
const BEYOND_CARE: readonly (readonly [
  code: string,
  "given" | "refused",
  Pick<NewAnswer, "scope" | "by"> & Partial<NewAnswer>,
])[] = [
  ["R-101", "given", { scope: "teaching", by: { capacity: "patient" } }],
  [
    "R-102",
    "refused",
    { scope: "publication-print", publication: JOURNAL, by: { capacity: "patient" }, how: "spoken" },
  ],
  [
    "R-103",
    "given",
    {
      scope: "evidence",
      by: {
        capacity: "legal-basis",
        name: "Officer in charge (invented)",
        basis: "order 12 of 2026 (invented)",
      },
    },
  ],
  ["R-104", "given", { scope: "teaching", by: { capacity: "patient" }, until: "2026-12-31" }],
];

/** R-105 could not be asked on the ward; others decided, for the patient's own care and nothing else. */
const DECIDED_FOR: Readonly<Record<string, Pick<NewAnswer, "by" | "assessed">>> = {
  "R-105": {
    by: {
      capacity: "best-interest",
      name: "Ward consultant (invented)",
      policy: "infirmary policy on pictures, section 4 (invented)",
      askAgainOn: "2026-04-20",
    },
    assessed: { by: "Ward consultant (invented)", found: "confused since admission" },
  },
};

/** Asks for one request: care first, each further scope by itself; on a non-clinical one whoever is portrayed. */
export async function askForConsent(
  desk: Desk,
  actor: Actor,
  request: { readonly requestId: string; readonly code: string; readonly isClinical: boolean },
  rules: ConsentRules,
): Promise<void> {
  const { requestId, code, isClinical } = request;
  const common = { rules, how: "written", givenAt: ASKED_AT } as const;
  if (!isClinical) {
    const person = "Member of staff (invented)";
    doneOrThrow(await namePortrayed(desk, actor, { requestId, name: person }));
    const by = { capacity: "patient" } as const;
    const of = { requestId, person };
    doneOrThrow(await giveConsent(desk, actor, { ...common, of, by, scope: "requester" }));
    const onSite = { scope: "publication-open-web", publication: NOTICE } as const;
    doneOrThrow(await giveConsent(desk, actor, { ...common, of, by, ...onSite }));
    return;
  }
  const of = { requestId };
  const who = DECIDED_FOR[code] ?? { by: { capacity: "patient" } as const };
  for (const scope of ["health-record", "requester"] as const) {
    doneOrThrow(await giveConsent(desk, actor, { ...common, ...who, of, scope }));
  }
  for (const [asksFor, answer, asked] of BEYOND_CARE) {
    if (asksFor !== code) continue;
    const act = answer === "given" ? giveConsent : refuseConsent;
    doneOrThrow(await act(desk, actor, { ...common, ...asked, of }));
  }
}

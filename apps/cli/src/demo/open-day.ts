import {
  type Actor,
  addPatient,
  addRequest,
  changeKit,
  changeRequest,
  type Desk,
  doneOrThrow,
  giveConsent,
  type NewPatient,
  type NewRequest,
  namePortrayed,
  openVisit,
  patientsByNumber,
  planRequest,
  refuseConsent,
  requestByCode,
} from "@samescale/desk";
import type { PlanWishes, Practice } from "@samescale/practice";
import { AUTHORITY } from "./department.ts";

/** The day on which the served demonstration opens: it begins where the work of the days before ended. */
const TODAY = "2026-06-10";
const TOMORROW = "2026-06-11";

interface Asked extends Pick<NewRequest, "code" | "dueDate" | "priority" | "sensitive"> {
  readonly code: string;
  /** Null: a non-clinical request. */
  readonly patient: Omit<NewPatient, "authority"> | null;
  readonly details: object;
  readonly plan?: { readonly viewSetKey: string; readonly wishes: PlanWishes };
  /** Said yes to their own care. */
  readonly agreed?: true;
}

const invented = (name: string, role: string) => ({ name, role: `${role} (invented)` });

/** One urgent, one that must not be touched without gloves, a newborn nobody has asked for yet, one without a plan … */
const ASKED: readonly Asked[] = [
  {
    code: "R-109",
    patient: { number: "FH623350", name: "Nadia Whitcombe", birthDate: "1962-02-11" },
    dueDate: TODAY,
    priority: "urgent",
    details: {
      parts: [{ part: "heel", side: "right", marks: [{ chart: "right-sole", x: 0.5, y: 0.9 }] }],
      purpose: "pressure damage, before it is treated",
      site: "East wing",
      place: "Ward 5, bed 12",
      requester: invented("Sister Okafor", "ward sister"),
      bookedAt: [`${TODAY}T13:00`],
      dressingsDownAt: `${TODAY}T13:10`,
      patientIs: "in-patient",
      cautions: [
        { kind: "infection", note: "in isolation: gown and gloves, nothing laid on the bed" },
        { kind: "mobility", note: "cannot turn alone, a nurse helps" },
      ],
    },
    plan: { viewSetKey: "heel-mirror", wishes: { place: "ward" } },
    agreed: true,
  },
  {
    code: "R-110",
    patient: { number: "FH701204", name: "Samuel Okonedo", birthDate: "2026-06-07" },
    dueDate: TODAY,
    sensitive: ["child"],
    details: {
      parts: [{ part: "back", side: "none", marks: [{ chart: "back", x: 0.5, y: 0.24 }] }],
      purpose: "mark since birth, baseline",
      site: "East wing",
      place: "Neonatal unit",
      requester: invented("Dr Lindqvist", "neonatologist"),
      bookedAt: [`${TODAY}T15:15`],
      patientIs: "in-patient",
      chaperone: "wanted",
      cautions: [{ kind: "flash", note: "newborn: no flash, soft continuous light" }],
    },
    plan: { viewSetKey: "newborn", wishes: { place: "ward" } },
  },
  {
    code: "R-111",
    patient: { number: "FH188761", name: "Gwen Tolliver", birthDate: "1948-10-30" },
    dueDate: TODAY,
    details: {
      parts: [
        {
          part: "lower leg",
          side: "right",
          marks: [{ chart: "front", x: 0.32, y: 0.83, note: "outer side, above the ankle" }],
        },
      ],
      purpose: "ulcer, first pictures: where it lies and close up with scale",
      site: "Outpatients",
      place: "Wound clinic, room 2",
      requester: invented("Mr Haldane", "vascular surgeon"),
      bookedAt: [`${TODAY}T13:45`],
      dressingsDownAt: `${TODAY}T13:40`,
      patientIs: "out-patient",
      cautions: [{ kind: "latex" }],
    },
    agreed: true,
  },
  {
    code: "R-112",
    patient: { number: "FH340098", name: "Ines Calloway", birthDate: "1990-03-22" },
    dueDate: TOMORROW,
    details: {
      parts: [{ part: "back", side: "right", marks: [{ chart: "back", x: 0.62, y: 0.22 }] }],
      purpose: "pigmented lesion, baseline",
      place: "Skin clinic",
      requester: invented("Dr Marchetti", "dermatologist"),
      bookedAt: [`${TOMORROW}T09:30`],
      patientIs: "out-patient",
      interpreter: "Portuguese",
      cautions: [{ kind: "flash", note: "light-sensitive seizures: single flashes only, no bursts" }],
    },
    plan: { viewSetKey: "pigmented-lesion", wishes: { place: "studio" } },
    agreed: true,
  },
  {
    code: "R-113",
    patient: { number: "FH455817", name: "Arthur Penhallow", birthDate: "1975-07-19" },
    dueDate: "2026-06-09",
    priority: "asap",
    details: {
      parts: [{ part: "hand", side: "right", marks: [{ chart: "right-palm", x: 0.5, y: 0.6 }] }],
      purpose: "before hand surgery",
      place: "Day surgery",
      requester: invented("Miss Osei", "hand surgeon"),
      operation: { what: "release of a finger", at: "2026-06-12T08:00" },
      patientIs: "out-patient",
    },
    plan: { viewSetKey: "hand-pair", wishes: { place: "clinic" } },
  },
  {
    code: "R-114",
    patient: null,
    dueDate: "2026-06-12",
    details: {
      title: "Portrait of the new head of outpatients",
      purpose: "staff notice",
      place: "Studio",
      requester: invented("Communications office", "office"),
      occasion: "portrait",
      bookedAt: ["2026-06-12T10:00"],
    },
  },
];

/** What lies on the desk on the morning of that day: new requests, a follow-up, kit that is not ready. No pictures yet. */
export async function openDay(
  desk: Desk,
  actor: Actor,
  practice: Practice,
  practiceFolder: string,
): Promise<void> {
  for (const asked of ASKED) await take(desk, actor, practice, asked);
  await bookFollowUp(desk, actor);
  await changeKit(practiceFolder, "mirror-floor", { clean: false });
  await changeKit(practiceFolder, "battery-body", { charged: false });
}

async function take(desk: Desk, actor: Actor, practice: Practice, asked: Asked): Promise<void> {
  const { code, dueDate = null, priority = null, sensitive = [], details } = asked;
  const patientId = asked.patient && (await idOf(desk, actor, asked.patient));
  const kind = patientId === null ? "non-clinical" : "clinical";
  const request = { code, patientId, kind, dueDate, priority, sensitive, details } as const;
  const { id: requestId } = doneOrThrow(await addRequest(desk, actor, request));
  if (asked.plan) doneOrThrow(await planRequest(desk, actor, { requestId, ...asked.plan }, practice));
  if (patientId === null) {
    doneOrThrow(await namePortrayed(desk, actor, { requestId, name: "Head of outpatients (invented)" }));
  }
  if (!asked.agreed) return;
  const answer = {
    of: { requestId },
    by: { capacity: "patient" },
    rules: practice.consent,
    how: "spoken",
  } as const;
  for (const scope of ["health-record", "requester"] as const) {
    doneOrThrow(await giveConsent(desk, actor, { ...answer, scope }));
  }
  doneOrThrow(await refuseConsent(desk, actor, { ...answer, scope: "teaching" }));
}

async function idOf(desk: Desk, actor: Actor, patient: Omit<NewPatient, "authority">): Promise<string> {
  const [known] = await patientsByNumber(desk, actor, patient.number);
  return known?.id ?? doneOrThrow(await addPatient(desk, actor, { ...patient, authority: AUTHORITY })).id;
}

/** R-108 comes again: its plan for this visit was made from what was done at the first one. */
async function bookFollowUp(desk: Desk, actor: Actor): Promise<void> {
  const { id: requestId } = await requestByCode(desk, actor, "R-108");
  const details = {
    place: "Ward 3",
    site: "West wing",
    bookedAt: [`${TODAY}T14:30`],
    patientIs: "in-patient",
  };
  doneOrThrow(await changeRequest(desk, actor, { requestId, dueDate: TODAY, details }));
  doneOrThrow(await openVisit(desk, actor, { requestId, date: TODAY }));
}

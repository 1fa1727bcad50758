import { CONSENT_SCOPES, type ConsentCapacity, type ConsentScope } from "@samescale/practice";
import { ROLES, type Role } from "../../../src/act/actor.ts";

/** The small world in which everything happens: who is who, by number. The last two requests are non-clinical. */
export const PATIENT_OF_REQUEST: readonly (number | null)[] = [0, 0, 1, 1, 2, 3, null, null];
/** Patient 3 comes of age while the acts go on. */
export const BORN: readonly string[] = ["1958-11-02", "1949-02-28", "1987-06-30", "2008-09-01"];
export const PICTURES = 24;
/** Picture 0 is the picture of a label. */
export const LABEL = 0;
export const PEOPLE = 4;
export const NAMES = ["Person A", "Person B", "Person C"] as const;
export const PUBLICATIONS = ["Journal one", "Journal two"] as const;
export const STARTS_AT = Date.parse("2026-03-15T12:00:00.000Z");
export const DE_IDENTIFIED: readonly ConsentScope[] = [
  "teaching",
  "publication-print",
  "publication-open-web",
  "research",
];

export interface Asked {
  readonly of: { readonly request: number; readonly name: number } | { readonly patient: number };
  readonly scope: ConsentScope;
  readonly publication: number | null;
  readonly capacity: ConsentCapacity;
  readonly pictures: readonly number[] | null;
  readonly hoursAgo: number;
  readonly untilInDays: number | null;
}

/**
 * One act, as plain data that means something on its own: acts before it can be left out. An answer is named by the number
 * of the act that brought it.
 */
export type Act = { readonly afterS: number; readonly number: number } & (
  | ({ readonly is: "give" } & Asked)
  | ({ readonly is: "refuse" } & Asked)
  | { readonly is: "narrow"; readonly answer: number; readonly pictures: readonly number[] }
  | { readonly is: "withdraw"; readonly answer: number; readonly hoursAgo: number }
  | { readonly is: "move"; readonly pictures: readonly number[]; readonly to: number | null }
  | { readonly is: "undo" }
  | { readonly is: "put aside" | "take back" | "confirm masks"; readonly picture: number }
  | { readonly is: "mark"; readonly request: number; readonly sensitive: boolean }
  | { readonly is: "cancel" | "reopen"; readonly request: number }
  | { readonly is: "role"; readonly person: number; readonly role: Role }
  | { readonly is: "emergency"; readonly person: number; readonly patient: number }
  | {
      readonly is: "portrayed";
      readonly request: number;
      readonly name: number;
      readonly pictures: readonly number[] | null;
    }
  | { readonly is: "not portrayed"; readonly naming: number }
  | { readonly is: "clock"; readonly byS: number }
  | {
      readonly is: "release";
      readonly by: number;
      /** In a role that they had before. */
      readonly stale: boolean;
      readonly request: number;
      readonly pictures: readonly number[];
      readonly scope: ConsentScope;
      readonly publication: number | null;
      readonly to: string;
      readonly untilInDays: number | null;
    }
);

/** Numbers from 0 to 1, the same for the same seed (mulberry32, common knowledge). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const DAY_S = 86_400;

/** An act by chance: mostly such as could be, some that cannot. */
export function randomAct(random: () => number, number: number): Act {
  const upTo = (n: number) => Math.floor(random() * n);
  const oneOf = <T>(of: readonly T[]): T => of[upTo(of.length)] as T;
  const chance = (p: number) => random() < p;
  const request = () => upTo(PATIENT_OF_REQUEST.length);
  const pictures = () => Array.from({ length: 1 + upTo(3) }, () => upTo(PICTURES));
  const scope = () => oneOf(CONSENT_SCOPES);
  const publicationFor = (of: ConsentScope) =>
    of.startsWith("publication") !== chance(0.03) ? upTo(PUBLICATIONS.length) : null;
  const afterS = chance(0.5) ? 0 : upTo(7200);
  const asked = (): Asked => {
    const of = chance(0.25)
      ? { patient: upTo(BORN.length) }
      : { request: request(), name: upTo(NAMES.length) };
    const asksFor = scope();
    return {
      of,
      scope: asksFor,
      publication: publicationFor(asksFor),
      capacity: chance(0.75)
        ? "patient"
        : oneOf(["parental-responsibility", "best-interest", "legal-basis"] as const),
      pictures: chance(0.3) && "request" in of ? pictures() : null,
      hoursAgo: chance(0.8) ? 0 : upTo(72),
      untilInDays: chance(0.8) ? null : upTo(60),
    };
  };
  const kinds: readonly (readonly [weight: number, make: () => Act])[] = [
    [26, () => ({ afterS, number, is: "give", ...asked() })],
    [3, () => ({ afterS, number, is: "refuse", ...asked() })],
    [2, () => ({ afterS, number, is: "narrow", answer: upTo(number), pictures: pictures() })],
    [
      5,
      () => ({ afterS, number, is: "withdraw", answer: upTo(number), hoursAgo: chance(0.8) ? 0 : upTo(72) }),
    ],
    [6, () => ({ afterS, number, is: "move", pictures: pictures(), to: chance(0.1) ? null : request() })],
    [1, () => ({ afterS, number, is: "undo" })],
    [2, () => ({ afterS, number, is: "put aside", picture: upTo(PICTURES) })],
    [4, () => ({ afterS, number, is: "take back", picture: upTo(PICTURES) })],
    [8, () => ({ afterS, number, is: "confirm masks", picture: upTo(PICTURES) })],
    [2, () => ({ afterS, number, is: "mark", request: request(), sensitive: chance(0.5) })],
    [1, () => ({ afterS, number, is: "cancel", request: request() })],
    [2, () => ({ afterS, number, is: "reopen", request: request() })],
    [3, () => ({ afterS, number, is: "role", person: upTo(PEOPLE), role: oneOf(ROLES) })],
    [1, () => ({ afterS, number, is: "emergency", person: upTo(PEOPLE), patient: upTo(BORN.length) })],
    [
      2,
      () => ({
        afterS,
        number,
        is: "portrayed",
        request: request(),
        name: upTo(NAMES.length),
        pictures: chance(0.3) ? pictures() : null,
      }),
    ],
    [1, () => ({ afterS, number, is: "not portrayed", naming: upTo(number) })],
    [
      4,
      () => ({
        afterS,
        number,
        is: "clock",
        byS: Math.round((random() - 0.4) * (chance(0.1) ? 40 : 0.5) * DAY_S),
      }),
    ],
    [
      30,
      () => {
        const asksFor = scope();
        return {
          afterS,
          number,
          is: "release",
          by: upTo(PEOPLE),
          stale: chance(0.1),
          request: request(),
          pictures: pictures(),
          scope: asksFor,
          publication: publicationFor(asksFor),
          to: `recipient ${upTo(5)}`,
          untilInDays: chance(0.7) ? null : upTo(90) - 2,
        };
      },
    ],
  ];
  let at = random() * kinds.reduce((sum, [weight]) => sum + weight, 0);
  for (const [weight, make] of kinds) {
    at -= weight;
    if (at < 0) return make();
  }
  return kinds[0]![1]();
}

const many = (pictures: readonly number[] | null) =>
  pictures === null
    ? "all pictures"
    : `${pictures.length === 1 ? "picture" : "pictures"} ${pictures.join(", ")}`;
const published = (publication: number | null) =>
  publication === null ? "" : ` (${PUBLICATIONS[publication]})`;

/** One act in words, as it stands in the list of a failing case. */
export function sayAct(act: Act): string {
  const brings = act.is === "give" || act.is === "refuse" || act.is === "narrow";
  const later = act.afterS === 0 ? "" : `${act.afterS} s later: `;
  return `${later}${says(act)}${brings ? ` [answer ${act.number}]` : ""}`;
}

function says(act: Act): string {
  switch (act.is) {
    case "give":
    case "refuse": {
      const who = "patient" in act.of ? `patient ${act.of.patient}` : `request ${act.of.request}`;
      const named =
        "request" in act.of && PATIENT_OF_REQUEST[act.of.request] === null ? `, ${NAMES[act.of.name]}` : "";
      const until = act.untilInDays === null ? "" : `, for ${act.untilInDays} days`;
      const ago = act.hoursAgo === 0 ? "" : `, said ${act.hoursAgo} h ago`;
      return `${act.is === "give" ? "yes" : "no"} to ${act.scope}${published(act.publication)} for ${many(act.pictures)} of ${who}${named}, as ${act.capacity}${until}${ago}`;
    }
    case "narrow":
      return `answer ${act.answer} is narrowed to ${many(act.pictures)}`;
    case "withdraw":
      return `answer ${act.answer} is withdrawn${act.hoursAgo === 0 ? "" : `, said ${act.hoursAgo} h ago`}`;
    case "move":
      return `${many(act.pictures)} moved to ${act.to === null ? "the unplaced" : `request ${act.to}`}`;
    case "undo":
      return "the last move is taken back";
    case "put aside":
    case "take back":
    case "confirm masks":
      return `${act.is}: picture ${act.picture}`;
    case "mark":
      return `request ${act.request} is ${act.sensitive ? "marked" : "no longer"} sensitive`;
    case "cancel":
    case "reopen":
      return `${act.is} request ${act.request}`;
    case "role":
      return `person ${act.person} becomes ${act.role}`;
    case "emergency":
      return `person ${act.person} opens patient ${act.patient} in an emergency`;
    case "portrayed":
      return `${NAMES[act.name]} can be seen in ${many(act.pictures)} of request ${act.request} [naming ${act.number}]`;
    case "not portrayed":
      return `naming ${act.naming} was a mistake`;
    case "clock":
      return `the clock jumps by ${act.byS} s`;
    case "release": {
      const until = act.untilInDays === null ? "" : `, for ${act.untilInDays} days`;
      return `person ${act.by}${act.stale ? " in an old role" : ""} releases ${many(act.pictures)} of request ${act.request} for ${act.scope}${published(act.publication)} to ${act.to}${until}`;
    }
  }
}

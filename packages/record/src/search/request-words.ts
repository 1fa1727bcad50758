import { type Facets, listOf, objectOf, textsOf } from "./documents.ts";
import { wordsOf, wordsOfNumber } from "./words.ts";

/** A request with what is known of its patient. */
export interface RequestRow {
  readonly request_id: string;
  readonly code: string;
  readonly kind: string;
  readonly sensitive: string | null;
  readonly access: string | null;
  readonly requester_id: string | null;
  readonly external: string | null;
  readonly details: string;
  readonly patient_name: string | null;
  readonly patient_number: string | null;
}

/** Details are the practice's own (packages/practice/src/request); what is not there is not found by it. */
interface Said {
  readonly title: string[];
  readonly parts: readonly { readonly part: string; readonly side: string }[];
  readonly requester: string[];
  readonly place: string[];
  readonly site: string[];
  readonly purpose: string[];
}

export function requestWords(row: RequestRow): string[] {
  const said = saidIn(row.details);
  const parts = said.parts.flatMap(({ part, side }) => [part, side === "none" ? "" : side]);
  const texts = [said.title, said.requester, said.place, said.site, said.purpose, parts];
  return [
    ...wordsOf(row.patient_name ?? ""),
    ...wordsOfNumber(row.patient_number ?? ""),
    ...wordsOfNumber(row.code),
    ...wordsOfNumber(row.external ?? ""),
    ...wordsOf(texts.flat().join(" ")),
  ];
}

/** `for`: whose request it is, or who was named for it; `open` where nothing narrows who sees it. */
export function requestFacets(row: RequestRow): Facets {
  const said = saidIn(row.details);
  const sensitive = textsOf(row.sensitive);
  return {
    request: [row.request_id],
    for: [...listOf(row.requester_id), ...textsOf(row.access), ...(row.sensitive === null ? ["open"] : [])],
    job: [row.kind],
    part: said.parts.map(({ part }) => part),
    side: said.parts.map(({ side }) => side),
    requester: said.requester,
    place: said.place,
    purpose: said.purpose,
    sensitive,
  };
}

function saidIn(details: string): Said {
  const said = objectOf(details);
  const text = (value: unknown) => (typeof value === "string" && value !== "" ? [value] : []);
  const { requester, parts } = said;
  const name = typeof requester === "object" ? (requester as { name?: unknown } | null)?.name : requester;
  return {
    title: text(said.title),
    requester: text(name),
    place: text(said.place),
    site: text(said.site),
    purpose: text(said.purpose),
    parts: (Array.isArray(parts) ? parts : []).flatMap((each: { part?: unknown; side?: unknown } | null) =>
      typeof each?.part === "string"
        ? [{ part: each.part, side: typeof each.side === "string" ? each.side : "none" }]
        : [],
    ),
  };
}

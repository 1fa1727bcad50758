import { SamescaleError } from "@samescale/errors";
import { type ExpressionBuilder, type Kysely, type SelectQueryBuilder, sql } from "kysely";
import type { FoundKind } from "../tables/rows/search.ts";
import type { Condition, Schema } from "../tables/schema.ts";
import { type CatchUpOptions, catchUp, isUpToDate } from "./catch-up.ts";
import type { Facets } from "./documents.ts";
import { facetWanted, keysOfDays, type TypedQuery, typedQuery, wordsWanted } from "./query.ts";
import type { TermsWanted, WordIndex } from "./word-index.ts";

/** What somebody looks for. */
export interface SearchWanted {
  readonly kind: FoundKind;
  /** Words and days, all of which must fit; empty: everything. */
  readonly text: string;
  /** Chosen values: of one facet any, of several facets all. */
  readonly facets: Readonly<Record<string, readonly string[]>>;
  /** Days, YYYY-MM-DD, both included. */
  readonly from: string | null;
  readonly until: string | null;
  /** Where the page before ended. */
  readonly after: string | null;
  readonly limit: number;
  readonly seen: Seen;
}

/** Who looks: what they may see is a part of the query, so that neither a count nor a facet tells of the rest. */
export interface Seen {
  readonly patient: Condition<"patient">;
  readonly request: Condition<"request">;
  readonly frame: Condition<"frame">;
  /**
   * The same, roughly, in facets (any of them), for those who see little: the index then leads to it at once. It must
   * let through whatever the conditions do. Null: they see nearly everything.
   */
  readonly among: Readonly<Record<string, readonly string[]>> | null;
}

export interface Found {
  /** Newest first. */
  readonly ids: readonly string[];
  /** Give it as `after` for the next page; null: this was the last. */
  readonly next: string | null;
  /** Of the newest matches, not more than `MOST_COUNTED`; only on the first page. */
  readonly counted: {
    readonly matches: number;
    readonly more: boolean;
    readonly facets: Readonly<Record<string, Readonly<Record<string, number>>>>;
  } | null;
}

/** Counting a million matches takes a second and helps nobody. */
export const MOST_COUNTED = 1000;
const LONGEST_PAGE = 500;

export interface LibrarySearch {
  /** @throws SamescaleError SEARCH_BEHIND, SEARCH_CURSOR */
  find(wanted: SearchWanted): Promise<Found>;
  isUpToDate(): Promise<boolean>;
  /** @throws SamescaleError LIBRARY_READ_ONLY */
  catchUp(options?: CatchUpOptions): Promise<void>;
}

export function searchOver(db: Kysely<Schema>, index: WordIndex, mayWrite: boolean): LibrarySearch {
  return {
    isUpToDate: () => isUpToDate(db),
    async catchUp(options) {
      if (!mayWrite) throw behind();
      await catchUp(db, index, options);
    },
    async find(wanted) {
      if (!(await isUpToDate(db))) throw behind();
      return found(db, index, wanted);
    },
  };
}

async function found(db: Kysely<Schema>, index: WordIndex, wanted: SearchWanted): Promise<Found> {
  const after = wanted.after === null ? null : keyOfCursor(wanted.after);
  const limit = Math.min(Math.max(wanted.limit, 1), LONGEST_PAGE);
  const typed = typedQuery(wanted.text);
  if (wanted.text.trim() !== "" && typed.words.length + typed.days.length === 0) return NOTHING;
  const counts = after === null;
  const rows = await matching(db, index, wanted, typed)
    .$if(after !== null, (query) => query.where("search_document.key", "<", after as number))
    .limit((counts ? Math.max(limit, MOST_COUNTED) : limit) + 1)
    .execute();
  const page = rows.slice(0, limit);
  const last = page.at(-1);
  return {
    ids: page.map(({ id }) => id),
    next: rows.length > limit && last !== undefined ? last.key.toString(36) : null,
    counted: counts ? countsOf(rows) : null,
  };
}

const NOTHING: Found = { ids: [], next: null, counted: { matches: 0, more: false, facets: {} } };

/** The documents that fit and may be seen, newest first. */
function matching(
  db: Kysely<Schema>,
  index: WordIndex,
  wanted: SearchWanted,
  typed: TypedQuery,
): SelectQueryBuilder<Schema, "search_document", FoundRow> {
  const { kind, seen } = wanted;
  const terms = termsWanted(wanted, typed);
  const keys = keysOfDays([
    ...(kind === "patient" ? [] : typed.days),
    { from: wanted.from ?? FIRST_DAY, until: wanted.until ?? LAST_DAY },
  ]);
  // SQLite goes through the words first, newest first, and looks documents up: never the other way round.
  const at = sql.ref<number>(terms.length === 0 ? "search_document.key" : "hit.key");
  const from =
    terms.length === 0
      ? db.selectFrom("search_document").where("search_document.kind", "=", kind)
      : db
          .selectFrom(index.matches([...terms, facetWanted("kind", [kind])]).as("hit"))
          .crossJoin("search_document")
          .whereRef("search_document.key", "=", "hit.key");
  return (from as SelectQueryBuilder<Schema, "search_document", object>)
    .select(["search_document.key", "search_document.id", "search_document.facets"])
    .where(at, ">=", keys.from)
    .where(at, "<", keys.until)
    .where((is) => isSeen(is, kind, seen))
    .orderBy(at, "desc");
}

interface FoundRow {
  readonly key: number;
  readonly id: string;
  readonly facets: string;
}

const FIRST_DAY = "1970-01-01";
const LAST_DAY = "2105-12-31";

/** A day looked for among patients is their day of birth; frames and requests lie on the line of time. */
function termsWanted({ kind, facets, seen }: SearchWanted, typed: TypedQuery): TermsWanted {
  const days = kind === "patient" ? typed.days : [];
  return [
    ...wordsWanted(typed.words),
    ...days.map(({ text }) => facetWanted("born", [text])),
    ...Object.entries(facets).map(([facet, values]) => facetWanted(facet, values)),
    ...(seen.among === null || kind === "patient"
      ? []
      : [Object.entries(seen.among).flatMap(([facet, values]) => facetWanted(facet, values))]),
  ].filter((group) => group.length > 0);
}

function isSeen(is: ExpressionBuilder<Schema, "search_document">, kind: FoundKind, seen: Seen) {
  if (kind === "patient") {
    return is.exists(
      is
        .selectFrom("patient")
        .select("patient.id")
        .whereRef("patient.id", "=", "search_document.id")
        .where((of) => seen.patient(of as unknown as ExpressionBuilder<Schema, "patient">)),
    );
  }
  if (kind === "request") {
    return is.exists(
      is
        .selectFrom("request")
        .select("request.id")
        .whereRef("request.id", "=", "search_document.id")
        .where((of) => seen.request(of as unknown as ExpressionBuilder<Schema, "request">)),
    );
  }
  return is.exists(
    is
      .selectFrom("frame")
      .select("frame.id")
      .whereRef("frame.id", "=", "search_document.id")
      .where((of) => seen.frame(of as unknown as ExpressionBuilder<Schema, "frame">)),
  );
}

/** Frames of one request mostly have the same facets: each text is read once, however often it is there. */
function countsOf(rows: readonly FoundRow[]): Found["counted"] {
  const counted = rows.slice(0, MOST_COUNTED);
  const texts = new Map<string, number>();
  for (const { facets } of counted) texts.set(facets, (texts.get(facets) ?? 0) + 1);
  const facets: Record<string, Record<string, number>> = {};
  for (const [text, n] of texts) {
    for (const [facet, values] of Object.entries(JSON.parse(text) as Facets)) {
      facets[facet] ??= {};
      const of = facets[facet];
      for (const value of values) of[value] = (of[value] ?? 0) + n;
    }
  }
  return { matches: counted.length, more: rows.length > MOST_COUNTED, facets };
}

function keyOfCursor(text: string): number {
  const key = /^[0-9a-z]{1,11}$/.test(text) ? Number.parseInt(text, 36) : Number.NaN;
  if (Number.isSafeInteger(key)) return key;
  throw new SamescaleError(
    "SEARCH_CURSOR",
    "This is not where a page of a list ended",
    "Begin with the first page, and go on with what it says under `next`.",
  );
}

function behind(): SamescaleError {
  return new SamescaleError(
    "SEARCH_BEHIND",
    "Not everything in this library can be found yet: its index is missing or behind",
    "Run `samescale find --rebuild` once, as a user who may write to the library.",
  );
}

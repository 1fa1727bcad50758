import type { AlignInput, Matrix3 } from "@samescale/picture";
import type { ScaleOffset } from "../compare/two-answers.ts";
import type { Desk } from "../desk.ts";

export type MatchedPoints = NonNullable<AlignInput["points"]>;

/** How one picture lay over the baseline when the series was last compared. */
export interface KeptMember {
  readonly original: string;
  readonly date: string;
  /** Null: the baseline itself. */
  readonly alignment:
    | {
        readonly aligned: true;
        readonly homography: Matrix3;
        readonly scaleChange: number;
        readonly warnings: readonly string[];
        readonly framing?: { readonly words: readonly string[]; readonly doNow: readonly string[] } | null;
        readonly points?: MatchedPoints;
      }
    | { readonly aligned: false; readonly reason: string; readonly points?: MatchedPoints }
    | null;
  readonly scaleOffset: ScaleOffset | null;
  readonly colour:
    | { readonly found: true; readonly correction: never; readonly deltaE00: Figures }
    | { readonly found: false; readonly reason: string }
    | null;
}

interface Figures {
  readonly before: { readonly mean: number };
  readonly crossValidated: { readonly mean: number };
}

export interface KeptSeries {
  readonly madeAt: string;
  readonly members: readonly KeptMember[];
  /** Day of the picture that was the baseline before, where it was another one. */
  readonly baselineBefore: string | null;
}

/** The newest comparison that has this picture as its baseline; null: there is none. */
export async function keptSeries(
  { library }: Desk,
  requestId: string,
  originals: readonly string[],
): Promise<KeptSeries | null> {
  const rows = await library.read
    .selectFrom("series")
    .select(["body", "made_at"])
    .where("request_id", "=", requestId)
    .orderBy("id", "desc")
    .execute();
  const all = rows.map(({ body, made_at }) => ({
    madeAt: made_at,
    members: (JSON.parse(body) as { members: KeptMember[] }).members,
  }));
  const [baseline] = originals;
  const now = all.find(({ members }) => members[0]?.original === baseline);
  if (!now) return null;
  const before = all.find(
    ({ members, madeAt }) =>
      madeAt < now.madeAt &&
      members[0]?.original !== baseline &&
      members.some(({ original }) => originals.includes(original)),
  );
  return { ...now, baselineBefore: before?.members[0]?.date ?? null };
}

import type { Verdict } from "@samescale/practice";
import { sha256Of } from "@samescale/record";
import { maySeeFrame } from "../access/seeing.ts";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";

type Judged = Verdict["verdict"];

export interface HandJudging {
  readonly frameId: string;
  /** Left out: stays as it is. */
  readonly verdict?: Exclude<Judged, "not-judged">;
  /** Why, or what somebody should know. Null takes the note away; left out: stays as it is. */
  readonly note?: string | null;
}

/** Which row told the verdict of a frame before; null: none did. */
export interface VerdictBefore {
  readonly frameId: string;
  readonly verdictId: string | null;
}

/** What a verdict row holds; what a person says keeps what the check found beside it. */
export interface KeptVerdict extends Verdict {
  readonly view?: string;
  readonly viewName?: string;
  readonly ratioPlanned?: number;
  /** Said by a person, not by the check. */
  readonly byHand?: { readonly by: string; readonly at: string; readonly checkSaid: string | null };
  readonly note?: { readonly text: string; readonly by: string; readonly at: string } | null;
}

const LONGEST_NOTE = 500;
const SAYS = { keep: "Keep", repeat: "Make it again", "your-choice": "Your choice" } as const;
const NOTHING_SAID: KeptVerdict = { verdict: "not-judged", say: "", findings: [], notJudged: [] };

/**
 * A person says of a frame: keep, make again, or writes a note. What the check found stays beside it; the newest row
 * counts, so a later check of the visit says anew what it sees.
 */
export const judgeByHand = defineAct<HandJudging, VerdictBefore>({
  name: "frame.judge",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameId, verdict, note }, context) {
    if (verdict === undefined && note === undefined) return { refused: "Say a verdict or write a note" };
    if (note != null && (note.length > LONGEST_NOTE || !isPlainText(note)))
      return { refused: `A note is one line of at most ${LONGEST_NOTE} characters` };
    const found = await newestOf(frameId, context);
    if (found === null) return { refused: `There is no frame ${frameId}` };
    const { actor, now } = context;
    const was = found.row === null ? NOTHING_SAID : (JSON.parse(found.row.body) as KeptVerdict);
    await keep(context, frameId, found.original, {
      ...was,
      ...(verdict && {
        verdict,
        say: `${SAYS[verdict]}: said by ${actor.name}.`,
        byHand: { by: actor.name, at: now, checkSaid: was.byHand?.checkSaid ?? (was.say || null) },
      }),
      ...(note !== undefined && { note: note === null ? null : { text: note, by: actor.name, at: now } }),
    });
    const details = { verdict: verdict ?? null, note: note ?? null };
    return {
      value: { frameId, verdictId: found.row?.id ?? null },
      deed: { act: "frame.judge", subject: `frame/${frameId}`, details },
    };
  },
});

/** Takes back what a person said: the row of before counts again, written anew as rows only grow. */
export const undoJudging = defineAct<VerdictBefore, VerdictBefore>({
  name: "frame.judge-undo",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameId, verdictId }, context) {
    const found = await newestOf(frameId, context);
    if (found === null) return { refused: `There is no frame ${frameId}` };
    const before =
      verdictId === null
        ? null
        : await context.tables
            .selectFrom("verdict")
            .select("body")
            .where("id", "=", verdictId)
            .where("frame_id", "=", frameId)
            .executeTakeFirst();
    if (before === undefined) return { refused: `The frame ${frameId} never had the verdict ${verdictId}` };
    const said = before === null ? NOTHING_SAID : (JSON.parse(before.body) as KeptVerdict);
    await keep(context, frameId, found.original, said);
    return {
      value: { frameId, verdictId: found.row?.id ?? null },
      deed: { act: "frame.judge-undo", subject: `frame/${frameId}`, details: { as: verdictId } },
    };
  },
});

interface Newest {
  readonly original: string;
  readonly row: { readonly id: string; readonly body: string } | null;
}

/** Null: there is no such frame that they may look at. */
async function newestOf(frameId: string, { tables, actor, now }: ActContext): Promise<Newest | null> {
  const file = await tables
    .selectFrom("file")
    .select("sha256")
    .where("frame_id", "=", frameId)
    .orderBy("sha256")
    .executeTakeFirst();
  if (!file || !(await maySeeFrame(tables, actor, frameId, now))) return null;
  const row = await tables
    .selectFrom("verdict")
    .select(["id", "body"])
    .where("frame_id", "=", frameId)
    .orderBy("id", "desc")
    .executeTakeFirst();
  return { original: file.sha256, row: row ?? null };
}

async function keep(
  { writing, newId, now, actor }: ActContext,
  frameId: string,
  original: string,
  said: KeptVerdict,
): Promise<void> {
  const body = jsonText(said);
  await writing.insert("verdict", {
    id: newId(),
    frame_id: frameId,
    request_id: null,
    recipe: jsonText({ step: "by-hand", version: 1, parameters: { by: actor.name } }),
    inputs: jsonText([original]),
    body,
    sha256: sha256Of(body),
    made_at: now,
  });
}

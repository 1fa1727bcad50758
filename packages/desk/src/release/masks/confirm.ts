import { barOverEyes, MASK_KINDS, type MaskArea, type MaskKind, type XY } from "@samescale/picture";
import { sha256Of } from "@samescale/record";
import { maySeeFrame } from "../../access/seeing.ts";
import { PHOTOGRAPHERS } from "../../act/actor.ts";
import { isPlainText } from "../../act/checks.ts";
import { defineAct } from "../../act/define-act.ts";
import { jsonText } from "../../act/json.ts";
import { CONFIRMED_STEP, type ConfirmedMask, MASK_ANSWERS, PROPOSED_STEP } from "./mask-in-force.ts";
import type { KeptProposals } from "./propose.ts";
import { MASK_QUESTIONS } from "./questions.ts";

/** What a person drew and answered. */
export interface MaskAnswers {
  readonly frameId: string;
  /** SHA-256 of the proposals that were shown. */
  readonly proposals: string;
  /** For each proposed area, in their order: cover it, or leave it to be seen. */
  readonly proposed: readonly ("cover" | "leave")[];
  /** Drawn by the person; `kind` as they say it. */
  readonly areas: readonly { readonly kind: string; readonly polygon: readonly XY[] }[];
  /** To each of the questions. */
  readonly answers: Readonly<Record<string, string>>;
}

export interface Confirmed {
  readonly id: string;
  readonly sha256: string;
  readonly areas: number;
}

/**
 * A person confirms what must not be seen in one original, or that there is nothing. Every proposal and every question needs
 * an answer; a bar over the eyes is refused.
 */
export const confirmMask = defineAct<MaskAnswers, Confirmed>({
  name: "mask.confirm",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(answered, { writing, tables, actor, now, newId }) {
    const { frameId } = answered;
    if (!(await maySeeFrame(tables, actor, frameId, now)))
      return { refused: `There is no picture ${frameId}` };
    const row = await tables
      .selectFrom("mask")
      .select(["recipe", "body"])
      .where("frame_id", "=", frameId)
      .where("sha256", "=", answered.proposals)
      .executeTakeFirst();
    if (!row || (JSON.parse(row.recipe) as { step: string }).step !== PROPOSED_STEP) {
      return {
        refused: "Look at the proposals for this picture first: the answers refer to none that are kept",
      };
    }
    const proposals = JSON.parse(row.body) as KeptProposals;
    const faults = faultsOf(answered, proposals, actor.name);
    if (faults.length > 0) return { refused: faults.join(". ") };
    const mask: ConfirmedMask = {
      original: proposals.original,
      widthPx: proposals.widthPx,
      heightPx: proposals.heightPx,
      areas: areasOf(answered, proposals),
      answers: answered.answers as ConfirmedMask["answers"],
      confirmedBy: actor.name,
      confirmedAt: now,
    };
    const body = jsonText(mask);
    const id = newId();
    const sha256 = sha256Of(body);
    await writing.insert("mask", {
      id,
      frame_id: frameId,
      request_id: null,
      recipe: jsonText({ step: CONFIRMED_STEP, version: 1, parameters: { proposed: answered.proposed } }),
      inputs: jsonText([proposals.original, answered.proposals]),
      body,
      sha256,
      made_at: now,
    });
    const areas = mask.areas.length;
    return {
      value: { id, sha256, areas },
      deed: { act: "mask.confirm", subject: `mask/${id}`, details: { frame: frameId, sha256, areas } },
    };
  },
});

/** Those that are covered of the proposed ones, then the person's own. */
function areasOf(answered: MaskAnswers, proposals: KeptProposals): MaskArea[] {
  const taken = proposals.areas.filter((_, i) => answered.proposed[i] === "cover");
  return [...taken, ...(answered.areas as readonly MaskArea[])].map(({ kind, polygon }) => ({
    kind,
    polygon,
  }));
}

const MOST_AREAS = 200;
const MOST_POINTS = 500;

/** One sentence for everything that is wrong or missing. */
function faultsOf(answered: MaskAnswers, proposals: KeptProposals, person: string): string[] {
  const faults: string[] = [];
  if (!isPlainText(person)) faults.push("A person by name confirms masks");
  const { proposed, areas, answers } = answered;
  if (
    proposed.length !== proposals.areas.length ||
    proposed.some((say) => say !== "cover" && say !== "leave")
  ) {
    faults.push(
      `Say of each of the ${proposals.areas.length} proposed areas whether it is covered or left to be seen`,
    );
    return faults;
  }
  if (areas.length > MOST_AREAS) faults.push(`At most ${MOST_AREAS} areas can be drawn`);
  for (const [i, { kind, polygon }] of areas.entries()) {
    const which = `Area ${i + 1} (${kind.slice(0, 40)})`;
    const isKnown = kind === "eyes" || MASK_KINDS.includes(kind as MaskKind);
    if (!isKnown) faults.push(`${which}: expected one of ${MASK_KINDS.join(", ")}`);
    if (!isPolygon(polygon, proposals))
      faults.push(`${which}: expected 3 to ${MOST_POINTS} points that lie in the picture`);
  }
  if (faults.length > 0) return faults;
  const all = areasOf(answered, proposals);
  // What was taken for a face counts, unless the person says that there is none.
  const taken = answers.face === "not-there" ? [] : proposals.areas;
  const faces = [...taken, ...all].filter(({ kind }) => kind === "face").map(({ polygon }) => polygon);
  const bars = all.map(({ kind, polygon }) => barOverEyes(kind, polygon, all, faces));
  faults.push(...new Set(bars.flatMap((why) => why ?? [])));
  for (const [kind, question] of Object.entries(MASK_QUESTIONS)) {
    const answer = Object.hasOwn(answers, kind) ? answers[kind] : undefined;
    const has = all.some((area) => area.kind === kind);
    if (!MASK_ANSWERS.some((known) => known === answer)) faults.push(`${question} (${kind}: not answered)`);
    else if (has && answer === "not-there")
      faults.push(`${kind}: an area covers it, and the answer says that it is not there`);
    else if (!has && answer === "masked")
      faults.push(`${kind}: the answer says that it is masked, and no area covers it`);
  }
  const unknown = Object.keys(answers).filter((kind) => !Object.hasOwn(MASK_QUESTIONS, kind));
  if (unknown.length > 0) faults.push(`Nobody asked for ${unknown.join(", ").slice(0, 100)}`);
  return faults;
}

function isPolygon(polygon: readonly XY[], { widthPx, heightPx }: KeptProposals): boolean {
  if (!Array.isArray(polygon) || polygon.length < 3 || polygon.length > MOST_POINTS) return false;
  const isPoint = (point: unknown): point is XY =>
    Array.isArray(point) && point.length === 2 && point.every(Number.isFinite);
  if (!polygon.every(isPoint)) return false;
  const xs = polygon.map(([x]) => x);
  const ys = polygon.map(([, y]) => y);
  return (
    Math.max(...xs) > 0 && Math.min(...xs) < widthPx && Math.max(...ys) > 0 && Math.min(...ys) < heightPx
  );
}

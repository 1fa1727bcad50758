import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { maySeeFrame, maySeeRequest } from "./seeing.ts";
import {
  isSensitiveCategory,
  keptSensitive,
  LEAD_CLEARS,
  type SensitiveCategory,
  sensitiveOf,
} from "./sensitive.ts";

export interface Marking {
  readonly of: { readonly requestId: string } | { readonly frameId: string };
  /** All that shall hold from now on; none: nothing narrows it. */
  readonly categories: readonly SensitiveCategory[];
  readonly because: string;
}

/**
 * Says why few may see a request or a frame, or that the reason is gone. Evidence and safeguarding are cleared by the
 * lead alone.
 */
export const markSensitive = defineAct<Marking, { readonly before: readonly SensitiveCategory[] }>({
  name: "access.mark",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ of, categories, because }, { writing, tables, actor, now }) {
    if (!isPlainText(because)) return { refused: "Marking as sensitive, and clearing it, needs a reason" };
    const unknown = categories.find((one) => !isSensitiveCategory(one));
    if (unknown !== undefined) return { refused: `There is no category ${JSON.stringify(unknown)}` };
    const isRequest = "requestId" in of;
    const [table, id] = isRequest ? (["request", of.requestId] as const) : (["frame", of.frameId] as const);
    const seen = await (isRequest ? maySeeRequest : maySeeFrame)(tables, actor, id, now);
    if (!seen) return { refused: `There is no ${table} ${id}` };
    const row = await tables
      .selectFrom(table)
      .select("sensitive")
      .where("id", "=", id)
      .executeTakeFirstOrThrow();
    const before = sensitiveOf(row.sensitive);
    const leads = before.filter((one) => LEAD_CLEARS.includes(one) && !categories.includes(one));
    if (leads.length > 0 && actor.role !== "lead") {
      return { refused: `Only the lead clears ${leads.join(" and ")}` };
    }
    const kept = keptSensitive(categories);
    await writing.update(table, id, { sensitive: kept });
    const after = [...sensitiveOf(kept)];
    const deed = {
      act: "access.mark",
      subject: `${table}/${id}`,
      details: { before: [...before], after, because },
    };
    return { value: { before }, deed };
  },
});

import type { RequestHistoryAnswer } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { words } from "../../../words/index.ts";
import css from "./whole-request.module.css";

const say = words.request.history;

/** Who did what to the request, newest first, with what stood there before. */
export function HistoryTab({ code }: { readonly code: string }) {
  const history = useAnswer<RequestHistoryAnswer>(`/requests/${code}/history`, ["request"]);
  return (
    <Answered of={history}>
      {(entries) => (
        <ol className={css.entries}>
          {entries.map(({ entry, time, actor, act, because, changes }) => (
            <li key={entry}>
              <span className="quiet">
                {time.slice(0, 10)} {time.slice(11, 16)} UTC
              </span>
              <div>
                <p>
                  {say.acts[act] ?? act} · <span className="quiet">{nameIn(actor)}</span>
                </p>
                {because !== null && <p>{say.because(because)}</p>}
                {changes.map(({ field, before, after }) => (
                  <p key={field}>
                    {say.fields[field] ?? field}: <del>{said(before)}</del> → <ins>{said(after)}</ins>
                  </p>
                ))}
              </div>
            </li>
          ))}
        </ol>
      )}
    </Answered>
  );
}

/** Account ids are for the log; a person reads the name. */
const nameIn = (actor: string): string => actor.replace(/^[a-z]+:/, "").replace(/ \[[^\]]*\]$/, "");

/** JSON as somebody reads it: texts without their quotes, lists by commas. */
function said(json: string | null): string {
  if (json === null) return say.nothing;
  const value: unknown = JSON.parse(json);
  return plain(value);
}

function plain(value: unknown): string {
  if (Array.isArray(value)) return value.map(plain).join("; ");
  if (typeof value === "object" && value !== null)
    return Object.values(value).map(plain).filter(Boolean).join(", ");
  return String(value).replace(/^(\d{4}-\d{2}-\d{2})T/, "$1 ");
}

import type { LogLine } from "@samescale/server";
import { Link } from "../../../parts/link.tsx";
import { minuteOf, personOf } from "../../../parts/moment.ts";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";

/** One entry: when, what, on what, who, why. */
export function LogLineText({ line }: { readonly line: LogLine }) {
  const { entry, time, actor, says, because, subject, called } = line;
  const to = addressOf(line);
  const name = called ?? subject.split("/")[0];
  return (
    <>
      <span className={css.when}>{minuteOf(time)}</span>
      <span className={css.what}>
        <span>
          {says}: {to ? <Link to={to}>{name}</Link> : <span title={subject}>{name}</span>}
        </span>
        <span className="quiet">
          {personOf(actor)}
          {because && ` · ${because}`}
        </span>
      </span>
      <span className={`quiet ${css.number}`}>{words.custody.log.entry(entry)}</span>
    </>
  );
}

/** Where what the entry is about is shown; null: nowhere of its own. */
function addressOf({ subject, requestCode }: LogLine): string | null {
  const [kind, id] = subject.split("/");
  if (kind === "frame") return `/custody/frame/${id}`;
  if (kind === "request" && requestCode) return `/requests/${encodeURIComponent(requestCode)}`;
  if (kind === "intake") return `/card?intake=${id}`;
  if (kind === "release") return `/release/receipts/${id}`;
  return null;
}

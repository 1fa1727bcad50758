import type { LogLine } from "@samescale/server";
import { Link } from "../../../parts/link.tsx";
import { minuteOf, personOf } from "../../../parts/moment.ts";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";

/** One entry: when, what, on what, who, why. */
export function LogLineText({ line }: { readonly line: LogLine }) {
  const { entry, time, actor, says, because, subject, called } = line;
  const to = addressOf(line);
  const name = called ?? (to ? subject.split("/")[0] : null);
  return (
    <>
      <span className={css.when}>{minuteOf(time)}</span>
      <span className={css.what}>
        <span>
          {says}
          {name && ": "}
          {to ? <Link to={to}>{name}</Link> : name}
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
function addressOf({ subject, requestCode, frameId }: LogLine): string | null {
  const [kind, id] = subject.split("/");
  if (frameId) return `/custody/frame/${frameId}`;
  if (kind === "intake") return `/card?intake=${id}`;
  if (kind === "release") return `/release/receipts/${id}`;
  return requestCode ? `/requests/${encodeURIComponent(requestCode)}` : null;
}

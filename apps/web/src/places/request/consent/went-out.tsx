import type { ConsentAnswered } from "@samescale/server";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";

const say = words.consent;

/** After a no or a withdrawal: what has left and is not covered any more, and what to do about each. */
export function WentOut({ wentOut }: { readonly wentOut: ConsentAnswered["wentOut"] }) {
  return (
    <section className={css.wentOut} role="alert">
      <h2>{say.wentOut}</h2>
      <ul>
        {wentOut.map(({ releaseId, to, leftAt, files, askBack, says }) => (
          <li key={releaseId}>
            <p>
              <Link to={`/release/receipts/${releaseId}`}>{say.wentOutTo(to, leftAt.slice(0, 10))}</Link>{" "}
              <span className="quiet">{say.wentOutFiles(files.length)}</span>
            </p>
            <p>
              {askBack && <strong>{say.askBack}. </strong>}
              {says}
            </p>
          </li>
        ))}
      </ul>
      {wentOut.some(({ askBack }) => askBack) && (
        <Link to="/release/recalls" look="chief">
          {say.toRecalls}
        </Link>
      )}
    </section>
  );
}

import type { ReleaseChoices } from "@samescale/server";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";

const { evidence: say } = words.release.choose;

/** What an evidence bag is, and the cautions that belong to it. */
export function Evidence({ of }: { readonly of: ReleaseChoices }) {
  const isMarked = of.sensitive.includes("evidence");
  return (
    <section className={css.attention} aria-labelledby="evidence">
      <h3 id="evidence">{say.title}</h3>
      <ul className={css.sentences}>
        <li>{say.bag}</li>
        <li>{say.metadata}</li>
        <li>{say.legal}</li>
        <li>{say.court}</li>
        <li>
          {isMarked ? say.isMarked : say.notMarked} {say.clears}{" "}
          <Link to={`/requests/${encodeURIComponent(of.code)}`}>{say.toRequest}</Link>
        </li>
      </ul>
    </section>
  );
}

import { Link } from "../../parts/link.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./today.module.css";

const say = words.today.other;

/** For those whose work is not with pictures: where theirs is. */
export function NoPictures({ role }: { readonly role: "administrator" | "auditor" }) {
  return (
    <PlaceFrame title={words.today.title}>
      <p className={css.plain}>{say[role]}</p>
      <p className={css.ways}>
        {role === "administrator" ? (
          <Link to="/practice/people" look="chief">
            {say.people}
          </Link>
        ) : (
          <>
            <Link to="/custody" look="chief">
              {say.custody}
            </Link>
            <Link to="/requests" look="plain">
              {say.requests}
            </Link>
          </>
        )}
      </p>
    </PlaceFrame>
  );
}

import type { ListedOpening } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { people: say } = words.practice;
const minute = (time: string) => `${time.slice(0, 16).replace("T", " ")} UTC`;

/** Everything that was opened in an emergency, and what was found about it. */
export function Openings() {
  const openings = useAnswer<readonly ListedOpening[]>("/people/openings?which=all", ["access"]);
  return (
    <section className={css.section}>
      <h2>{say.openings}</h2>
      <Answered of={openings}>
        {(list) =>
          list.length === 0 ? (
            <p className="quiet">{say.noOpenings}</p>
          ) : (
            <ul className={css.lines}>
              {list.map((opening) => (
                <Opening key={opening.id} opening={opening} />
              ))}
            </ul>
          )
        }
      </Answered>
    </section>
  );
}

function Opening({ opening }: { readonly opening: ListedOpening }) {
  const {
    id,
    requestCode,
    name,
    login,
    because,
    madeAt,
    until,
    reviewedAt,
    reviewedBy,
    review: found,
  } = opening;
  const [finding, setFinding] = useState("");
  const review = useAct(() => ask("POST", `/people/openings/${id}/review`, { finding }), {
    say: () => say.reviewDone,
  });
  return (
    <li className={css.line}>
      <span>
        <span className={css.strong}>{requestCode}</span>
        <br />
        <span className={css.small}>
          {name} ({login})
        </span>
      </span>
      <span>
        {because}
        <br />
        <span className={css.small}>{say.opened(minute(madeAt), minute(until))}</span>
        <br />
        {reviewedAt === null ? (
          <span className={css.warn}>○ {say.notReviewed}</span>
        ) : (
          <span className={css.small}>
            ● {say.reviewed(reviewedBy ?? "", reviewedAt.slice(0, 10))}: {found}
          </span>
        )}
      </span>
      {reviewedAt === null ? (
        <form
          className={css.section}
          onSubmit={(event) => {
            event.preventDefault();
            review.mutate(undefined);
          }}
        >
          <Field
            label={say.finding}
            value={finding}
            onChange={setFinding}
            hint={say.findingHint}
            maxLength={1000}
          />
          <Button type="submit" isDisabled={finding.trim() === ""}>
            {say.review}
          </Button>
        </form>
      ) : (
        <span />
      )}
    </li>
  );
}

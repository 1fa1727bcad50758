import type { Recall } from "@samescale/server";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { dayOf } from "../parts/text.ts";
import { AnswerForm } from "./answer-form.tsx";
import css from "./receipts.module.css";

const { recalls: say } = words.release;

/** Whom to ask something back, for what, and what they answered. Oldest first. */
export function Recalls() {
  const [params, setParams] = useSearchParams();
  const which = params.get("which") === "all" ? "all" : "open";
  const recalls = useAnswer<Recall[]>(`/release/recalls?which=${which}`, ["release", "consent"]);
  const { role } = useMe();
  const mayAnswer = role === "photographer" || role === "lead";
  return (
    <PlaceFrame
      title={say.title}
      acts={
        <Link to="/release" look="plain">
          {words.shell.names.release}
        </Link>
      }
    >
      <div className={css.recalls}>
        <Choices
          label={say.which}
          options={[
            { value: "open", label: say.open },
            { value: "all", label: say.all },
          ]}
          value={which}
          onChange={(next) =>
            setParams(new URLSearchParams(next === "all" ? { which: "all" } : {}), { replace: true })
          }
          hint={say.oldest}
        />
        <Answered of={recalls}>
          {(all) =>
            all.length === 0 ? (
              <Empty title={say.none}>
                <p>{say.noneHelp}</p>
              </Empty>
            ) : (
              <ul className={css.recallList}>
                {all.map((recall) => (
                  <li key={recall.releaseId}>
                    <OneRecall recall={recall} mayAnswer={mayAnswer} />
                  </li>
                ))}
              </ul>
            )
          }
        </Answered>
      </div>
    </PlaceFrame>
  );
}

function OneRecall({ recall, mayAnswer }: { readonly recall: Recall; readonly mayAnswer: boolean }) {
  const { releaseId, to, scope, publication, leftAt, because, says, answered } = recall;
  return (
    <>
      <h2>{to}</h2>
      <p className="quiet">
        {words.release.uses[scope]}
        {publication && `: ${publication}`} · {say.left(dayOf(leftAt))} ·{" "}
        <Link to={`/release/receipts/${releaseId}`}>{say.receipt}</Link>
      </p>
      <p>{because}.</p>
      <p>{says}</p>
      {answered ? (
        <p>
          <strong>{say.answered(dayOf(answered.at))}:</strong> {answered.says}
        </p>
      ) : (
        mayAnswer && <AnswerForm releaseId={releaseId} to={to} />
      )}
    </>
  );
}

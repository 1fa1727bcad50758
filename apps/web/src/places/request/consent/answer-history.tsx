import type { ConsentAnswered, Withdrawn } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";
import type { AnswerOnRecord } from "./giver-draft.ts";

const say = words.consent;
const SHORT_HASH = 12;

/** Everything that was ever answered, newest first; a yes that still holds can be withdrawn. */
export function AnswerHistory({
  code,
  answers,
  onWentOut,
}: {
  readonly code: string;
  readonly answers: readonly AnswerOnRecord[];
  readonly onWentOut: (wentOut: ConsentAnswered["wentOut"]) => void;
}) {
  return (
    <section className={css.group}>
      <h2>{say.history}</h2>
      {answers.length === 0 && <p className="quiet">{say.none}</p>}
      <ol className={css.history}>
        {answers.toReversed().map((answer) => (
          <li key={answer.id}>
            <Answer answer={answer} />
            {answer.answer === "given" && answer.withdrawnAt === null && (
              <Withdraw code={code} answer={answer} onWentOut={onWentOut} />
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Answer({ answer }: { readonly answer: AnswerOnRecord }) {
  const {
    scope,
    publication,
    givenAt,
    givenBy,
    takenBy,
    capacity,
    until,
    wordingVersion,
    withdrawn,
    details,
  } = answer;
  const { how, textSha256, relation, child, policy, basis, assessed } = details;
  const more = [
    say.hows[how],
    say.takenBy(takenBy),
    relation,
    child && `${say.child}: ${say.childs[child]}`,
    policy,
    basis,
    assessed && `${say.assessedBy}: ${assessed.by}, ${assessed.found}`,
    until !== null && say.untilDay(until),
    answer.frames !== null && say.ofFrames(answer.frames.length),
    answer.requestId === null && say.ofPatient,
    say.wording(wordingVersion, `${textSha256.slice(0, SHORT_HASH)}…`),
  ].filter((each): each is string => typeof each === "string" && each !== "");
  return (
    <div className={css.entry}>
      <p>
        <span className="quiet">
          {givenAt.slice(0, 10)} {givenAt.slice(11, 16)} UTC
        </span>{" "}
        <strong>
          {say.scopes[scope]}: {answer.answer === "given" ? say.given : say.refused}
        </strong>
        {publication !== null && ` (${publication})`}
      </p>
      <p>
        {givenBy} <span className="quiet">({say.capacities[capacity]})</span>
      </p>
      <p className="quiet">{more.join(" · ")}</p>
      {withdrawn && answer.withdrawnAt !== null && (
        <p>
          <strong>{say.withdrawn(answer.withdrawnAt.slice(0, 10), withdrawn.by, withdrawn.because)}</strong>
        </p>
      )}
    </div>
  );
}

function Withdraw({
  code,
  answer: { id, scope, givenBy },
  onWentOut,
}: {
  readonly code: string;
  readonly answer: AnswerOnRecord;
  readonly onWentOut: (wentOut: ConsentAnswered["wentOut"]) => void;
}) {
  const [isOpen, setOpen] = useState(false);
  const [by, setBy] = useState(givenBy);
  const [because, setBecause] = useState("");
  const withdraw = useAct(
    () =>
      ask<Withdrawn>("POST", `/requests/${code}/consent/${id}/withdraw`, {
        by: by.trim(),
        ...(because.trim() !== "" && { because: because.trim() }),
      }),
    { say: () => say.withdrawnSaid },
  );
  return (
    <>
      <Button onPress={() => setOpen(true)} aria-label={say.withdrawTitle(say.scopes[scope])}>
        {say.withdraw}
      </Button>
      <Dialog title={say.withdrawTitle(say.scopes[scope])} isOpen={isOpen} onClose={() => setOpen(false)}>
        <form
          className={css.dialog}
          onSubmit={(event) => {
            event.preventDefault();
            withdraw.mutate(undefined, {
              onSuccess: ({ wentOut }) => {
                onWentOut(wentOut);
                setOpen(false);
              },
            });
          }}
        >
          <p>{say.withdrawHelp}</p>
          <Field label={say.withdrawBy} value={by} onChange={setBy} autoFocus />
          <Field label={say.withdrawBecause} value={because} onChange={setBecause} />
          <p>
            <Button type="submit" look="chief" isDisabled={by.trim() === "" || withdraw.isPending}>
              {say.withdraw}
            </Button>
          </p>
        </form>
      </Dialog>
    </>
  );
}

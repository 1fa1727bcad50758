import type { ConsentAnswered, ConsentOfRequest } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";
import { type GiverDraft, giverSent, type Question } from "./giver-draft.ts";

const say = words.consent;
const SHORT_HASH = 12;

/** One question, its wording in full, how it stands, and two plain answers. */
export function QuestionCard({
  code,
  question: { scope, namesPublication, capacities, wording, cautions },
  standing,
  giver,
  isPatient,
  onWentOut,
}: {
  readonly code: string;
  readonly question: Question;
  readonly standing: ConsentOfRequest["now"];
  readonly giver: GiverDraft;
  readonly isPatient: boolean;
  readonly onWentOut: (wentOut: ConsentAnswered["wentOut"]) => void;
}) {
  const [publication, setPublication] = useState("");
  const [until, setUntil] = useState("");
  const called = say.scopes[scope];
  const path = `/requests/${code}/consent`;
  const send = (which: "given" | "refused") =>
    ask<ConsentAnswered>("POST", path, {
      answer: which,
      scope,
      ...giverSent(giver, isPatient),
      ...(publication.trim() !== "" && { publication: publication.trim() }),
      ...(until.trim() !== "" && which === "given" && { until: until.trim() }),
    });
  const give = useAct(() => send("given"), {
    say: () => say.said("given", called),
    undo: ({ id }) => ask("POST", `${path}/${id}/withdraw`, { by: say.whoUndid, because: say.byMistake }),
  });
  // A no is ended by a new answer; nothing takes it out of the record.
  const refuse = useAct(() => send("refused"), { say: () => say.said("refused", called) });
  const isPending = give.isPending || refuse.isPending;
  const told = { onSuccess: ({ wentOut }: ConsentAnswered) => onWentOut(wentOut) };
  const mayGive = capacities.includes(giver.capacity);
  return (
    <section className={css.question} aria-label={called}>
      <div className={css.head}>
        <h3>{called}</h3>
        <Standing standing={standing} />
      </div>
      {wording === null ? (
        <p>{say.noWording}</p>
      ) : (
        <>
          <blockquote className={css.wording}>{wording.text}</blockquote>
          <p className={css.version} title={wording.sha256}>
            {say.wording(wording.version, `${wording.sha256.slice(0, SHORT_HASH)}…`)}
          </p>
          {cautions.map((caution) => (
            <p key={caution} className={css.caution}>
              {caution}
            </p>
          ))}
          {namesPublication && (
            <Field
              label={say.publication}
              hint={say.publicationHint}
              value={publication}
              onChange={setPublication}
            />
          )}
          <div className={css.answers}>
            <Button
              look="plain"
              onPress={() => give.mutate(undefined, told)}
              isDisabled={!mayGive || isPending}
              aria-label={say.yesFor(called)}
            >
              <Disc /> {say.yes}
            </Button>
            <Button
              look="plain"
              onPress={() => refuse.mutate(undefined, told)}
              isDisabled={isPending}
              aria-label={say.noFor(called)}
            >
              <Ring /> {say.no}
            </Button>
          </div>
          <details className={css.until}>
            <summary>{say.withEnd}</summary>
            <Field label={say.until} hint={say.untilHint} value={until} onChange={setUntil} />
          </details>
          {!mayGive && <p className="quiet">{say.notTheirs}</p>}
        </>
      )}
    </section>
  );
}

/** How far it reaches at this moment, publication by publication. */
function Standing({ standing }: { readonly standing: ConsentOfRequest["now"] }) {
  return (
    <ul className={css.standing}>
      {standing.map(({ publication, covered, why }) => (
        <li key={publication ?? ""} className={covered ? css.yes : css.not}>
          {covered ? <Disc /> : <Dashed />}
          <span>
            {covered ? say.now.yes : why}
            {publication !== null && ` (${publication})`}
          </span>
        </li>
      ))}
    </ul>
  );
}

const Disc = () => (
  <svg viewBox="0 0 20 20" aria-hidden="true" className={css.sign}>
    <circle cx="10" cy="10" r="8" fill="currentColor" />
  </svg>
);
const Ring = () => (
  <svg viewBox="0 0 20 20" aria-hidden="true" className={css.sign}>
    <path
      d="M10 2.5A7.5 7.5 0 1 0 10 17.5 7.5 7.5 0 1 0 10 2.5M4.8 4.8 15.2 15.2"
      fill="none"
      stroke="currentColor"
      strokeWidth="2.2"
    />
  </svg>
);
const Dashed = () => (
  <svg viewBox="0 0 20 20" aria-hidden="true" className={css.sign}>
    <circle cx="10" cy="10" r="7.5" fill="none" stroke="currentColor" strokeWidth="2" strokeDasharray="3 3" />
  </svg>
);

import type { ConsentAnswered, ConsentOfRequest } from "@samescale/server";
import { useState } from "react";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { words } from "../../../words/index.ts";
import type { Whole } from "../form/draft.ts";
import { AnswerHistory } from "./answer-history.tsx";
import css from "./consent.module.css";
import { firstGiver } from "./giver-draft.ts";
import { GiverFields } from "./giver-fields.tsx";
import { Portrayed } from "./portrayed.tsx";
import { QuestionCard } from "./question-card.tsx";
import { Tasks } from "./tasks.tsx";
import { WentOut } from "./went-out.tsx";

const say = words.consent;
const CARE = ["health-record", "requester"];

/** Consent, asked standing beside the patient: who answers, then one plain question after the other. */
export function ConsentTab({ request }: { readonly request: Whole }) {
  const consent = useAnswer<ConsentOfRequest>(`/requests/${request.code}/consent`, [
    "consent",
    "capacity",
    "release",
    "practice",
  ]);
  return <Answered of={consent}>{(now) => <Asking code={request.code} consent={now} />}</Answered>;
}

function Asking({ code, consent }: { readonly code: string; readonly consent: ConsentOfRequest }) {
  const [giver, setGiver] = useState(() => firstGiver(consent));
  const [wentOut, setWentOut] = useState<ConsentAnswered["wentOut"]>([]);
  const isPatient = consent.patient !== null;
  // Whoever was named last answers next, until somebody else is chosen.
  const named = isPatient || consent.portrayed.some(({ name }) => name === giver.person);
  const now = named ? giver : { ...giver, person: consent.portrayed.at(-1)?.name ?? "" };
  const asked = consent.questions.filter(({ scope }) => isPatient || scope !== "health-record");
  const groups = [
    { title: say.care, questions: asked.filter(({ scope }) => CARE.includes(scope)) },
    { title: say.beyond, questions: asked.filter(({ scope }) => !CARE.includes(scope)) },
  ];
  return (
    <div className={css.consent}>
      <p className={css.caution}>{consent.caution}</p>
      <Tasks code={code} consent={consent} />
      {wentOut.length > 0 && <WentOut wentOut={wentOut} />}
      {!isPatient && <Portrayed code={code} portrayed={consent.portrayed} />}
      {(isPatient || consent.portrayed.length > 0) && (
        <>
          <GiverFields giver={now} onChange={setGiver} consent={consent} />
          {groups.map(({ title, questions }) => (
            <section key={title} className={css.group}>
              <h2>{title}</h2>
              {questions.map((question) => (
                <QuestionCard
                  key={question.scope}
                  code={code}
                  question={question}
                  standing={consent.now.filter(({ scope }) => scope === question.scope)}
                  giver={now}
                  isPatient={isPatient}
                  onWentOut={setWentOut}
                />
              ))}
            </section>
          ))}
        </>
      )}
      <AnswerHistory code={code} answers={consent.answers} onWentOut={setWentOut} />
    </div>
  );
}

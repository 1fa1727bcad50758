import type { Recall, ReleaseList, RequestWithPictures } from "@samescale/server";
import { useState } from "react";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { dayOf } from "../parts/text.ts";
import css from "../release.module.css";

const { start: say } = words.release;

/** Whether somebody lets things out, or only sees what left. */
const RELEASES = new Set(["photographer", "lead"]);

/** Where a release begins: the request; beside it what left lately and who has to be asked for something back. */
export function Start() {
  const { role } = useMe();
  const mayRelease = RELEASES.has(role);
  return (
    <PlaceFrame
      title={words.shell.names.release}
      acts={
        <>
          <Link to="/release/receipts" look="plain">
            {say.receipts}
          </Link>
          {role !== "requester" && (
            <Link to="/release/recalls" look="plain">
              {say.recalls}
            </Link>
          )}
          {mayRelease && (
            <Link to="/release/projects" look="plain">
              {say.projects}
            </Link>
          )}
        </>
      }
      facts={
        mayRelease ? (
          <>
            <OpenRecalls />
            <Lately />
          </>
        ) : undefined
      }
    >
      {mayRelease ? <Requests /> : <Lately />}
    </PlaceFrame>
  );
}

function Requests() {
  const requests = useAnswer<RequestWithPictures[]>("/release/requests", ["request", "frame", "intake"]);
  const [words_, setWords] = useState("");
  return (
    <Answered of={requests}>
      {(all) => {
        if (all.length === 0) {
          return (
            <Empty title={say.none}>
              <p>{say.noneHelp}</p>
              <Link to="/card" look="chief">
                {say.toCard}
              </Link>
            </Empty>
          );
        }
        const wanted = words_.toLowerCase().split(/\s+/).filter(Boolean);
        const shown = all.filter((request) => {
          const text = `${request.code} ${request.title} ${request.patient?.name ?? ""} ${request.patient?.number ?? ""}`;
          return wanted.every((word) => text.toLowerCase().includes(word));
        });
        return (
          <section className={css.block} aria-labelledby="which-request">
            <h2 id="which-request">{say.which}</h2>
            {all.length > 6 && (
              <Field label={say.find} hint={say.findHint} value={words_} onChange={setWords} />
            )}
            {shown.length === 0 && <p role="status">{say.foundNone}</p>}
            <ul className={css.rows}>
              {shown.map((request) => (
                <li key={request.code}>
                  <Link to={`/release/${encodeURIComponent(request.code)}`}>
                    <span className={css.rowCode}>{request.code}</span>
                    <span className={css.rowMain}>
                      <span>{request.title}</span>
                      {request.patient && (
                        <span className="quiet">
                          {request.patient.name} · {request.patient.number}
                        </span>
                      )}
                    </span>
                    <span className={css.rowEnd}>
                      <span>{words.release.pictures(request.pictures)}</span>
                      {request.newestAt && (
                        <span className="quiet">{say.newest(dayOf(request.newestAt))}</span>
                      )}
                    </span>
                  </Link>
                </li>
              ))}
            </ul>
          </section>
        );
      }}
    </Answered>
  );
}

function OpenRecalls() {
  const recalls = useAnswer<Recall[]>("/release/recalls?which=open", ["release", "consent"]);
  const open = recalls.data?.length ?? 0;
  if (open === 0) return null;
  return (
    <section className={css.attention}>
      <h2>{say.askBack(open)}</h2>
      <p>
        <Link to="/release/recalls" look="plain">
          {say.toRecalls}
        </Link>
      </p>
    </section>
  );
}

function Lately() {
  const left = useAnswer<ReleaseList>("/release/receipts?which=out", ["release"]);
  return (
    <section className={css.block} aria-labelledby="left-lately">
      <h2 id="left-lately">{say.lately}</h2>
      <Answered of={left}>
        {({ releases }) =>
          releases.length === 0 ? (
            <p className="quiet">{say.nothingLeft}</p>
          ) : (
            <ul className={css.lately}>
              {releases.slice(0, 6).map(({ id, to, requestCode, madeAt, form }) => (
                <li key={id}>
                  <Link to={`/release/receipts/${id}`}>
                    <span>{to}</span>
                  </Link>
                  <span className="quiet">
                    {dayOf(madeAt)} · {requestCode} · {words.release.choose.forms[form]?.[0] ?? form}
                  </span>
                </li>
              ))}
            </ul>
          )
        }
      </Answered>
    </section>
  );
}

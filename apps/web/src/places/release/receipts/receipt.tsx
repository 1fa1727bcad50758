import type { ReleaseReceipt } from "@samescale/server";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Link } from "../../../parts/link.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { dayOf, momentOf, sizeText } from "../parts/text.ts";
import { AnswerForm } from "./answer-form.tsx";
import { CheckAgain } from "./check-again.tsx";
import css from "./receipts.module.css";

const { receipt: say, choose } = words.release;

/** One release with its receipt: what, to whom, on what it rests, every file with its hash. Also printed. */
export function Receipt({ id }: { readonly id: string }) {
  const receipt = useAnswer<ReleaseReceipt>(`/release/receipts/${encodeURIComponent(id)}`, [
    "release",
    "consent",
  ]);
  useKeys(say.all, [{ key: "p", does: say.printKey, run: () => print() }]);
  return (
    <PlaceFrame
      title={say.title(receipt.data?.receipt.mark ?? "")}
      acts={
        <>
          <Link to="/release/receipts" look="plain">
            {say.all}
          </Link>
          <Button onPress={() => print()}>{say.print}</Button>
        </>
      }
    >
      <Answered of={receipt}>{(release) => <Whole release={release} />}</Answered>
    </PlaceFrame>
  );
}

function Whole({ release }: { readonly release: ReleaseReceipt }) {
  const { role } = useMe();
  const { receipt, requestCode, madeAt, folder, form } = release;
  const keepsLists = role !== "requester";
  return (
    <div className={css.receipt}>
      <State release={release} mayAnswer={role === "photographer" || role === "lead"} />
      <dl className={css.facts}>
        <Fact name={say.to} value={receipt.to} />
        <Fact name={say.purpose} value={receipt.purpose} />
        <Fact name={say.use} value={words.release.uses[release.scope]} />
        {receipt.publication && <Fact name={say.publication} value={receipt.publication} />}
        {receipt.project && <Fact name={say.project} value={receipt.project} />}
        <Fact name={say.form} value={choose.forms[form]?.[0] ?? form} />
        <Fact name={say.pictures} value={`${receipt.frames}`} />
        <Fact name={say.until} value={receipt.expiresOn ?? say.untilWithdrawn} />
        <Fact name={say.request} value={requestCode} />
        <Fact name={say.at} value={momentOf(madeAt)} />
        <Fact name={say.by} value={receipt.releasedBy} />
        {keepsLists && <Fact name={say.folder} value={folder} />}
      </dl>
      <ul className={css.rules}>
        {receipt.rules.map((rule) => (
          <li key={rule}>{rule}</li>
        ))}
        {form === "evidence" && <li>{say.bag}</li>}
      </ul>
      <Rests receipt={receipt} />
      <section className={css.part} aria-labelledby="files">
        <h2 id="files">{say.filesTitle}</h2>
        {release.mayFetch && (
          <div className="not-printed">
            {/* A plain link: the browser saves what comes, however large. */}
            <a className={css.fetchAll} href={`/api/release/receipts/${release.id}/zip`} download>
              {say.fetchAll}
            </a>
            <p className="quiet">{say.fetchHelp}</p>
          </div>
        )}
        <ul className={css.files}>
          {receipt.files.map(({ name, bytes, sha256 }) => (
            <li key={name}>
              <span className={css.fileName}>{name}</span>
              <span>{sizeText(bytes)}</span>
              <code className="quiet">{sha256}</code>
              {release.mayFetch && (
                <a
                  className="not-printed"
                  href={`/api/release/receipts/${release.id}/file?name=${encodeURIComponent(name)}`}
                  aria-label={say.fetch(name)}
                  download
                >
                  {say.fetchOne}
                </a>
              )}
            </li>
          ))}
        </ul>
        {keepsLists && release.state === "out" && <CheckAgain id={release.id} />}
      </section>
      <p>{say.passOn}</p>
      <p className={css.foot}>{say.page(requestCode, dayOf(madeAt))}</p>
    </div>
  );
}

const Fact = ({ name, value }: { readonly name: string; readonly value: string }) => (
  <div>
    <dt>{name}</dt>
    <dd>{value}</dd>
  </div>
);

/** What it stands on: the consents, and what was confirmed of each picture. */
function Rests({ receipt }: Pick<ReleaseReceipt, "receipt">) {
  const { consents, masks, identifiers } = receipt;
  const hidden = identifiers === "hidden" && <span className="quiet"> ({say.hidden})</span>;
  return (
    <section className={css.part} aria-labelledby="rests">
      <h2 id="rests">{say.rests}</h2>
      <h3>
        {say.consents}
        {hidden}
      </h3>
      <ul className={css.hashes}>
        {consents.map((consent) => (
          <li key={consent}>
            <code>{consent}</code>
          </li>
        ))}
      </ul>
      {masks.length > 0 && (
        <>
          <h3>
            {say.masks}
            {hidden}
          </h3>
          <ul className={css.hashes}>
            {masks.map((mask) => (
              <li key={mask}>
                <code>{mask}</code>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** What became of it, and what has to be done. */
function State({ release, mayAnswer }: { readonly release: ReleaseReceipt; readonly mayAnswer: boolean }) {
  const { state, takenBackBecause, recallBecause, recallSays, answered, isExpired, expiresOn } = release;
  if (state === "taken-back") return <p className={css.bad}>{say.takenBack(takenBackBecause ?? "")}</p>;
  if (state === "unfinished") return <p className={css.bad}>{say.unfinished}</p>;
  const isToAnswer = mayAnswer && answered === null && (recallBecause !== null || isExpired);
  return (
    <section className={recallBecause || isExpired ? css.bad : css.good}>
      {recallBecause ? (
        <>
          <h2>{say.giveBack}</h2>
          <p>{recallBecause}.</p>
          <p>{recallSays}</p>
        </>
      ) : isExpired && expiresOn ? (
        <h2>{words.release.receipts.ended(expiresOn)}</h2>
      ) : (
        <p>{say.isOut}</p>
      )}
      {answered && (
        <p>
          <strong>{say.answeredOn(dayOf(answered.at))}:</strong> {answered.says}
        </p>
      )}
      {isToAnswer && <AnswerForm releaseId={release.id} to={release.to} />}
    </section>
  );
}

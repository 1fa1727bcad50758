import type { FrameOnRecord } from "@samescale/server";
import type { ReactNode } from "react";
import { Link } from "../../../parts/link.tsx";
import { minuteOf } from "../../../parts/moment.ts";
import { previewUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import { Copyable } from "../copyable.tsx";
import css from "../custody.module.css";

const said = words.custody.frame;

/** The frame itself beside its story: picture, hash, where its copies lie, what was made of it, where it went. */
export function FrameFactsOnRecord({ frame }: { readonly frame: FrameOnRecord }) {
  const { originals, made, releases } = frame;
  const shown = originals.find(({ destroyedBecause }) => destroyedBecause === null);
  return (
    <>
      {!frame.mayLook ? (
        <p className={css.noPicture}>{said.noPicture}</p>
      ) : shown ? (
        <img className={css.picture} src={previewUrl(shown.sha256)} alt={said.title(frame.name)} />
      ) : (
        <p className={css.noPicture}>{said.gone}</p>
      )}
      <dl className={css.facts}>
        <Fact label={said.request}>
          {frame.requestCode ? (
            <Link to={`/requests/${encodeURIComponent(frame.requestCode)}`}>{frame.requestCode}</Link>
          ) : (
            said.nobody
          )}
        </Fact>
        <Fact label={said.visit}>{frame.visitDate}</Fact>
        <Fact label={said.taken}>{frame.takenAt?.slice(0, 16).replace("T", " ")}</Fact>
        <Fact label={said.card}>{frame.card}</Fact>
        <Fact label={said.placing}>{frame.placing}</Fact>
        {frame.trashedBecause && <Fact label="">{said.aside(frame.trashedBecause)}</Fact>}
      </dl>
      <section>
        <h2>{said.originals}</h2>
        {originals.map((file) => (
          <div key={file.sha256} className={css.original}>
            <p>
              <strong>{file.name}</strong>{" "}
              <span className="quiet">
                {(file.bytes / 1e6).toFixed(1)} MB · {said.stored(minuteOf(file.storedAt))}
              </span>
            </p>
            <Copyable text={file.sha256} label={said.hash} />
            {file.destroyedBecause && <p>{said.destroyed(file.destroyedBecause)}</p>}
            {file.copies.length === 0 && <p className="quiet">{said.noCopy}</p>}
            {file.copies.map(({ place, verifiedAt }) => (
              <p key={place} className="quiet">
                {said.copy}: {said.copyAt(place, minuteOf(verifiedAt))}
              </p>
            ))}
          </div>
        ))}
      </section>
      <section>
        <h2>{said.made}</h2>
        {made.length === 0 && <p className="quiet">{said.madeNothing}</p>}
        <ul className={css.plain}>
          {made.map(({ id, kind, madeAt }) => (
            <li key={id}>
              {said.kinds[kind]} <span className="quiet">{minuteOf(madeAt)}</span>
            </li>
          ))}
        </ul>
      </section>
      <section>
        <h2>{said.left}</h2>
        {releases.length === 0 && <p className="quiet">{said.leftNever}</p>}
        <ul className={css.plain}>
          {releases.map(({ id, day, recipient, name }) => (
            <li key={id + name}>
              <Link to={`/release/receipts/${id}`}>{day}</Link> {recipient}
              <br />
              <span className="quiet">{name}</span>
            </li>
          ))}
        </ul>
      </section>
    </>
  );
}

const Fact = ({ label, children }: { readonly label: string; readonly children: ReactNode }) =>
  children ? (
    <div>
      <dt>{label}</dt>
      <dd>{children}</dd>
    </div>
  ) : null;

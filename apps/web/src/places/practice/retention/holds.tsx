import type { ShownHold } from "@samescale/server";
import { useState } from "react";
import { Link } from "wouter";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { retention: say, cancel } = words.practice;

/** What nothing destroys, and why. */
export function Holds({
  holds,
  mayLift,
}: {
  readonly holds: readonly ShownHold[];
  readonly mayLift: boolean;
}) {
  const [isPlacing, setPlacing] = useState(false);
  return (
    <section className={css.section}>
      <h2>{say.holds}</h2>
      <p className={css.text}>{say.holdsSays}</p>
      {holds.length === 0 && <p className="quiet">{say.noHolds}</p>}
      <ul className={css.lines}>
        {holds.map((hold) => (
          <Hold key={hold.id} hold={hold} mayLift={mayLift} />
        ))}
      </ul>
      <p>
        <Button onPress={() => setPlacing(true)}>{say.placeHold}</Button>
      </p>
      {isPlacing && <PlaceHold onClose={() => setPlacing(false)} />}
    </section>
  );
}

function Hold({ hold, mayLift }: { readonly hold: ShownHold; readonly mayLift: boolean }) {
  const { id, code, subject, because: why, placedBy, since } = hold;
  const what = code ?? subject;
  const [isOpen, setOpen] = useState(false);
  const [because, setBecause] = useState("");
  const lift = useAct(() => ask("POST", `/practice/holds/${id}/lift`, { because }), {
    say: () => say.lifted,
  });
  return (
    <li className={css.line}>
      <span className={css.strong}>
        {code ? <Link href={`/requests/${encodeURIComponent(code)}`}>{code}</Link> : subject}
      </span>
      <span>
        {why}
        <br />
        <span className={css.small}>{say.since(since, placedBy)}</span>
      </span>
      {mayLift ? (
        <Button onPress={() => setOpen(true)} aria-label={say.liftOf(what)}>
          {say.lift}
        </Button>
      ) : (
        <span />
      )}
      <Dialog title={say.liftOf(what)} isOpen={isOpen} onClose={() => setOpen(false)}>
        <form
          className={css.section}
          onSubmit={(event) => {
            event.preventDefault();
            lift.mutate(undefined, { onSuccess: () => setOpen(false) });
          }}
        >
          <Field label={say.liftBecause} value={because} onChange={setBecause} maxLength={500} />
          <p className={css.row}>
            <Button type="submit" look="chief" isDisabled={because.trim() === ""}>
              {say.lift}
            </Button>
            <Button onPress={() => setOpen(false)}>{cancel}</Button>
          </p>
        </form>
      </Dialog>
    </li>
  );
}

function PlaceHold({ onClose }: { readonly onClose: () => void }) {
  const [code, setCode] = useState("");
  const [because, setBecause] = useState("");
  const place = useAct(() => ask("POST", "/practice/holds", { code: code.trim(), because }), {
    say: () => say.held(code),
  });
  return (
    <Dialog title={say.placeHold} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          place.mutate(undefined, { onSuccess: onClose });
        }}
      >
        <Field label={say.code} value={code} onChange={setCode} maxLength={60} autoFocus />
        <Field label={say.holdBecause} value={because} onChange={setBecause} maxLength={500} />
        <p className={css.row}>
          <Button
            type="submit"
            look="chief"
            isDisabled={code.trim() === "" || because.trim() === "" || place.isPending}
          >
            {say.placeHold}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}

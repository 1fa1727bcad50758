import type { Destroyed, ShownRetention } from "@samescale/server";
import { useState } from "react";
import { Link } from "wouter";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { retention: say, cancel, done } = words.practice;

/** A request whose time is over; destroying it in two steps: chosen here, then its code typed. */
export function Proposal(props: {
  readonly proposal: ShownRetention["proposals"][number];
  readonly mayDestroy: boolean;
}) {
  const { proposal, mayDestroy } = props;
  const { code, originals, bytes, rule, why, against } = proposal;
  const [isOpen, setOpen] = useState(false);
  return (
    <li className={css.line}>
      <span>
        <Link href={`/requests/${encodeURIComponent(code)}`}>{code}</Link>
        <br />
        <span className={css.small}>{say.originals(originals, bytes)}</span>
      </span>
      <span>
        {rule}
        <br />
        <span className={css.small}>{why}.</span>
        {against.length > 0 && (
          <>
            <br />
            <span className={css.warn}>
              ○ {say.against} {against.join("; ")}
            </span>
          </>
        )}
      </span>
      {mayDestroy && against.length === 0 ? (
        <Button onPress={() => setOpen(true)} aria-label={say.destroyOf(code)}>
          {say.destroy}
        </Button>
      ) : (
        <span />
      )}
      {isOpen && (
        <Destroy code={code} originals={say.originals(originals, bytes)} onClose={() => setOpen(false)} />
      )}
    </li>
  );
}

function Destroy({
  code,
  originals,
  onClose,
}: {
  readonly code: string;
  readonly originals: string;
  readonly onClose: () => void;
}) {
  const [because, setBecause] = useState("");
  const [typed, setTyped] = useState("");
  const [left, setLeft] = useState<readonly string[] | null>(null);
  const destroy = useAct<void, Destroyed>(() => ask("POST", "/practice/destroy", { code, typed, because }));
  if (left !== null) {
    return (
      <Dialog title={say.destroyOf(code)} isOpen onClose={onClose}>
        <p>{left.length === 0 ? say.nothingLeft : say.destroyed}</p>
        <ul className={css.faults}>
          {left.map((what) => (
            <li key={what}>{what}</li>
          ))}
        </ul>
        <p>
          <Button onPress={onClose}>{done}</Button>
        </p>
      </Dialog>
    );
  }
  return (
    <Dialog title={say.destroyOf(code)} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          destroy.mutate(undefined, { onSuccess: (answer) => setLeft(answer.left) });
        }}
      >
        <p className={css.strong}>{say.destroySays(originals)}</p>
        <p>{say.destroyOthers}</p>
        <Field label={say.destroyReason} value={because} onChange={setBecause} maxLength={500} />
        <Field
          label={say.destroyType(code)}
          value={typed}
          onChange={setTyped}
          maxLength={80}
          autoComplete="off"
        />
        {destroy.error != null && <Problem report={reportFrom(destroy.error)} />}
        <p className={css.row}>
          <Button type="submit" isDisabled={typed !== code || because.trim() === "" || destroy.isPending}>
            {say.destroyNow}
          </Button>
          <Button look="chief" onPress={onClose}>
            {cancel}
          </Button>
        </p>
      </form>
    </Dialog>
  );
}

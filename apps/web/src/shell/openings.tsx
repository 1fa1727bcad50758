import type { ListedOpening } from "@samescale/server";
import { useState } from "react";
import { ask } from "../api/client.ts";
import { useAct, useAnswer } from "../api/use-answer.ts";
import { Answered } from "../parts/answered.tsx";
import { Button } from "../parts/button.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { Field } from "../parts/field.tsx";
import { words } from "../words/index.ts";
import own from "./own-account.module.css";
import css from "./shell.module.css";

/** For the lead and the auditors: what was opened in an emergency stays in sight until somebody has looked into it. */
export function OpeningsWaiting({ count }: { readonly count: number }) {
  const [isOpen, setOpen] = useState(false);
  if (count === 0 && !isOpen) return null;
  return (
    <>
      {count > 0 && (
        <p className={`${css.lost} not-printed`}>
          <strong>!</strong> {words.people.openingsWaiting(count)}.{" "}
          <Button look="bare" onPress={() => setOpen(true)}>
            {words.people.lookInto}
          </Button>
        </p>
      )}
      <Dialog title={words.people.openings} isOpen={isOpen} onClose={() => setOpen(false)}>
        <Openings />
      </Dialog>
    </>
  );
}

function Openings() {
  const openings = useAnswer<readonly ListedOpening[]>("/people/openings", ["access"]);
  return (
    <Answered of={openings}>
      {(list) =>
        list.length === 0 ? (
          <p>{words.people.noOpenings}</p>
        ) : (
          list.map((opening) => <Opening key={opening.id} opening={opening} />)
        )
      }
    </Answered>
  );
}

function Opening({ opening }: { readonly opening: ListedOpening }) {
  const { id, requestCode, name, login, because, madeAt, until } = opening;
  const [finding, setFinding] = useState("");
  const review = useAct(() => ask("POST", `/people/openings/${id}/review`, { finding }), {
    say: () => words.people.reviewDone,
  });
  const minute = (time: string) => `${time.slice(0, 16).replace("T", " ")} UTC`;
  return (
    <form
      className={own.part}
      onSubmit={(event) => {
        event.preventDefault();
        review.mutate(undefined);
      }}
    >
      <h3>
        {requestCode}: {words.people.openingOf(name, login)}
      </h3>
      <p>{because}</p>
      <p className="quiet">{words.people.openedAt(minute(madeAt), minute(until))}</p>
      <Field
        label={words.people.finding}
        hint={words.people.findingHint}
        value={finding}
        onChange={setFinding}
        lines={2}
        isRequired
      />
      <p>
        <Button type="submit">{words.people.reviewed}</Button>
      </p>
    </form>
  );
}

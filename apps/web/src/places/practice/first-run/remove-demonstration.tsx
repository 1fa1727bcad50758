import type { DemonstrationSize, Me } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";

const { removeDemonstration: say } = words.practice;

/** The demonstration's end: everything in it goes, once, and the server goes on over an empty library. */
export function RemoveDemonstration() {
  const { isDemonstration } = useMe();
  const size = useAnswer<DemonstrationSize>(isDemonstration ? "/demonstration" : null);
  return (
    <PracticePage here="" title={say.title}>
      {isDemonstration ? (
        <Answered of={size}>{(one) => <Remove size={one} />}</Answered>
      ) : (
        <Empty title={say.none}>
          <p>{say.noneSays}</p>
          <Link to="/practice" look="chief">
            {words.practice.nav}
          </Link>
        </Empty>
      )}
    </PracticePage>
  );
}

type Keep = "keep" | "begin";

function Remove({ size }: { readonly size: DemonstrationSize }) {
  const { department, patients, requests, frames } = size;
  const [keep, setKeep] = useState<Keep>("begin");
  const [typed, setTyped] = useState("");
  const [isRemoving, setRemoving] = useState(false);
  const remove = useAct(() => ask("POST", "/demonstration/remove", { typed, keepPractice: keep === "keep" }));
  useGoOn(isRemoving);
  if (isRemoving) {
    return (
      <p role="status" className={css.strong}>
        {say.removing}
      </p>
    );
  }
  return (
    <form
      className={css.section}
      onSubmit={(event) => {
        event.preventDefault();
        remove.mutate(undefined, { onSuccess: () => setRemoving(true) });
      }}
    >
      <div className={css.note}>
        <p className={css.strong}>{say.says(patients, requests, frames)}</p>
        <p className={css.warn}>○ {say.noUndo}</p>
        <p>{say.stays}</p>
      </div>
      <Choices
        label={say.practice}
        options={[
          { value: "begin", label: say.begin },
          { value: "keep", label: say.keep },
        ]}
        value={keep}
        onChange={setKeep}
      />
      <Field
        label={say.type(department)}
        value={typed}
        onChange={setTyped}
        maxLength={200}
        autoComplete="off"
      />
      {remove.error != null && <Problem report={reportFrom(remove.error)} />}
      <p>
        <Button type="submit" isDisabled={typed !== department || remove.isPending}>
          {say.remove}
        </Button>
      </p>
    </form>
  );
}

const AGAIN_MS = 1000;

/** Asks until the server is there again over the empty library; then the whole page begins anew. */
function useGoOn(isRemoving: boolean): void {
  useEffect(() => {
    if (!isRemoving) return;
    const timer = setInterval(async () => {
      const me = await ask<Me | null>("GET", "/people/me").catch(() => null);
      if (me && !me.isDemonstration) location.assign("/");
    }, AGAIN_MS);
    return () => clearInterval(timer);
  }, [isRemoving]);
}

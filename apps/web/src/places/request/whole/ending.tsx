import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import type { Whole } from "../form/draft.ts";
import css from "../form/form.module.css";

const say = words.request.whole;
type End = "cancel" | "close" | "reopen";

/** Calling off, closing, opening again: each with its reason, each taken back by its opposite. */
export function Ending({ request: { code, state } }: { readonly request: Whole }) {
  const [end, setEnd] = useState<End | null>(null);
  const [because, setBecause] = useState("");
  const doEnd = (which: End, why: string) => ask("POST", `/requests/${code}/end/${which}`, { because: why });
  const act = useAct(
    async (which: End) => {
      await doEnd(which, because.trim());
      return which;
    },
    {
      say: (which) => say.ended[which],
      undo: (which) =>
        doEnd(which === "reopen" ? (state === "done" ? "close" : "cancel") : "reopen", say.undone),
    },
  );
  const ends: readonly End[] = state === "open" ? ["close", "cancel"] : ["reopen"];
  return (
    <>
      {ends.map((one) => (
        <Button key={one} onPress={() => setEnd(one)}>
          {say[one]}
        </Button>
      ))}
      <Dialog
        title={end === null ? "" : say.becauseTitle[end]}
        isOpen={end !== null}
        onClose={() => setEnd(null)}
      >
        <form
          className={css.section}
          onSubmit={(event) => {
            event.preventDefault();
            if (end === null) return;
            act.mutate(end, { onSuccess: () => setEnd(null) });
          }}
        >
          <Field label={say.because} value={because} onChange={setBecause} autoFocus />
          <p>
            <Button type="submit" look="chief" isDisabled={because.trim() === "" || act.isPending}>
              {end === null ? "" : say[end]}
            </Button>
          </p>
        </form>
      </Dialog>
    </>
  );
}

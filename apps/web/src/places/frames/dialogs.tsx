import { type FormEvent, useState } from "react";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Field } from "../../parts/field.tsx";
import { words } from "../../words/index.ts";
import css from "./frames.module.css";

const { frames: say } = words;

/** Why a frame is as it is: written down with it. Shown only while it is open. */
export function NoteDialog({
  count,
  before,
  onClose,
  onWrite,
}: {
  readonly count: number;
  readonly before: string;
  readonly onClose: () => void;
  readonly onWrite: (note: string) => void;
}) {
  const [note, setNote] = useState(before);
  const write = (event: FormEvent) => {
    event.preventDefault();
    onWrite(note);
    onClose();
  };
  return (
    <Dialog title={say.noteTitle(count)} isOpen onClose={onClose}>
      <form className={css.form} onSubmit={write}>
        <Field
          label={say.noteLabel}
          hint={say.noteHint}
          value={note}
          onChange={setNote}
          maxLength={500}
          autoFocus
        />
        <p>
          <Button look="chief" type="submit">
            {say.save}
          </Button>
        </p>
      </form>
    </Dialog>
  );
}

/** Putting aside needs a reason; it is taken back by one key. */
export function AsideDialog({
  count,
  onClose,
  onPutAside,
}: {
  readonly count: number;
  readonly onClose: () => void;
  readonly onPutAside: (because: string) => void;
}) {
  const [chosen, setChosen] = useState<string>("blurred");
  const [other, setOther] = useState("");
  const because = chosen === "other" ? other.trim() : chosen;
  const put = (event: FormEvent) => {
    event.preventDefault();
    if (because === "") return;
    onPutAside(because);
    onClose();
  };
  return (
    <Dialog title={say.asideTitle(count)} isOpen onClose={onClose}>
      <form className={css.form} onSubmit={put}>
        <p>{say.asideHelp}</p>
        <Choices label={say.asideWhy} options={say.reasons} value={chosen} onChange={setChosen} />
        {chosen === "other" && (
          <Field label={say.reason} value={other} onChange={setOther} maxLength={300} autoFocus />
        )}
        <p>
          <Button look="chief" type="submit" isDisabled={because === ""}>
            {say.putAside}
          </Button>
        </p>
      </form>
    </Dialog>
  );
}

import type { Me, Opened } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { ask } from "../api/client.ts";
import { useAct } from "../api/use-answer.ts";
import { Button } from "../parts/button.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { Field } from "../parts/field.tsx";
import { words } from "../words/index.ts";
import css from "./own-account.module.css";

const EMPTY = { patientNumber: "", birthDateOrName: "", because: "" };

/** From whom something can be hidden, and who meets patients. Photographers and the lead see everything. */
const MAY_NEED: readonly Me["role"][] = ["requester", "viewer"];

/** For whoever meets patients: what is hidden of the patient in front of them is one act away. Loud, and on record. */
export function Emergency({ me }: { readonly me: Me }) {
  const [isOpen, setOpen] = useState(false);
  if (!me.hasAccounts || !MAY_NEED.includes(me.role)) return null;
  return (
    <>
      <Button look="bare" onPress={() => setOpen(true)}>
        {words.people.emergencyShort}
      </Button>
      <Dialog title={words.people.emergency} isOpen={isOpen} onClose={() => setOpen(false)}>
        <Opening />
      </Dialog>
    </>
  );
}

function Opening() {
  const [typed, setTyped] = useState(EMPTY);
  const open = useAct(() => ask<Opened>("POST", "/people/emergency", typed), {
    say: ({ requests, until }) =>
      words.people.opened(
        requests.map(({ code }) => code).join(", "),
        `${until.slice(0, 16).replace("T", " ")} UTC`,
      ),
  });
  const field = (name: keyof typeof EMPTY) => ({
    value: typed[name],
    onChange: (value: string) => setTyped({ ...typed, [name]: value }),
    isRequired: true,
  });
  const send = (event: FormEvent) => {
    event.preventDefault();
    open.mutate(undefined, { onSuccess: () => setTyped(EMPTY) });
  };
  return (
    <form className={css.part} onSubmit={send}>
      <p>{words.people.emergencyHelp}</p>
      <Field label={words.people.patientNumber} {...field("patientNumber")} />
      <Field
        label={words.people.birthDateOrName}
        hint={words.people.birthDateHint}
        {...field("birthDateOrName")}
      />
      <Field label={words.people.because} lines={2} {...field("because")} />
      <p>
        <Button type="submit">{words.people.open}</Button>
      </p>
    </form>
  );
}

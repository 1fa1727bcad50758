import type { ConsentOfRequest } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";

const say = words.consent;
type Named = ConsentOfRequest["portrayed"][number];

/** Who can be seen on a non-clinical request: named one by one, taken off with a reason. */
export function Portrayed({
  code,
  portrayed,
}: {
  readonly code: string;
  readonly portrayed: readonly Named[];
}) {
  const [name, setName] = useState("");
  const add = useAct(() => ask("POST", `/requests/${code}/portrayed`, { name: name.trim() }));
  return (
    <section className={css.portrayed}>
      <h2>{say.portrayed}</h2>
      <p className="quiet">{say.portrayedHelp}</p>
      <ul>
        {portrayed.map((one) => (
          <li key={one.id}>
            {one.name}
            {one.frames !== null && <span className="quiet"> {say.ofFrames(one.frames)}</span>}
            <TakeOff code={code} named={one} />
          </li>
        ))}
      </ul>
      <form
        className={css.addRow}
        onSubmit={(event) => {
          event.preventDefault();
          add.mutate(undefined, { onSuccess: () => setName("") });
        }}
      >
        <Field label={say.addPortrayed} value={name} onChange={setName} />
        <Button type="submit" isDisabled={name.trim() === "" || add.isPending}>
          {say.addPortrayed}
        </Button>
      </form>
    </section>
  );
}

function TakeOff({ code, named }: { readonly code: string; readonly named: Named }) {
  const [isOpen, setOpen] = useState(false);
  const [because, setBecause] = useState("");
  const takeOff = useAct(
    () => ask("POST", `/requests/${code}/portrayed/${named.id}/take-off`, { because: because.trim() }),
    {
      undo: () => ask("POST", `/requests/${code}/portrayed`, { name: named.name }),
      say: () => say.takeOff(named.name),
    },
  );
  return (
    <>
      <Button look="bare" onPress={() => setOpen(true)} aria-label={say.takeOff(named.name)}>
        ×
      </Button>
      <Dialog title={say.takeOff(named.name)} isOpen={isOpen} onClose={() => setOpen(false)}>
        <form
          className={css.dialog}
          onSubmit={(event) => {
            event.preventDefault();
            takeOff.mutate(undefined, { onSuccess: () => setOpen(false) });
          }}
        >
          <Field label={say.takeOffWhy} value={because} onChange={setBecause} autoFocus />
          <p>
            <Button type="submit" look="chief" isDisabled={because.trim() === "" || takeOff.isPending}>
              {say.takeOff(named.name)}
            </Button>
          </p>
        </form>
      </Dialog>
    </>
  );
}

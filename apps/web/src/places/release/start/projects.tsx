import type { ListedProject } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { dayOf } from "../parts/text.ts";
import css from "../release.module.css";

const { projects: say } = words.release;

/** Research projects: the lead adds them, the others see their names. */
export function Projects() {
  const { role } = useMe();
  const projects = useAnswer<ListedProject[]>("/release/projects", ["research"]);
  return (
    <PlaceFrame
      title={say.title}
      acts={
        <Link to="/release" look="plain">
          {say.back}
        </Link>
      }
    >
      <div className={css.block}>
        <p className={css.prose}>{say.help}</p>
        <Answered of={projects}>
          {(all) =>
            all.length === 0 ? (
              <Empty title={say.none} />
            ) : (
              <ul className={css.lately}>
                {all.map(({ id, name, since }) => (
                  <li key={id}>
                    <span>{name}</span>
                    <span className="quiet">{say.since(dayOf(since))}</span>
                  </li>
                ))}
              </ul>
            )
          }
        </Answered>
        {role === "lead" ? <AddProject /> : <p className="quiet">{say.leadOnly}</p>}
      </div>
    </PlaceFrame>
  );
}

function AddProject() {
  const [name, setName] = useState("");
  const add = useAct((wanted: string) => ask("POST", "/release/projects", { name: wanted }), {
    say: () => say.added(name),
  });
  return (
    <form
      className={css.narrow}
      onSubmit={(event) => {
        event.preventDefault();
        add.mutate(name, { onSuccess: () => setName("") });
      }}
    >
      <Field label={say.name} hint={say.nameHint} value={name} onChange={setName} maxLength={120} />
      <Button type="submit" look="chief" isDisabled={name.trim() === "" || add.isPending}>
        {say.add}
      </Button>
    </form>
  );
}

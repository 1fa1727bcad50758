import type { FoundFrame } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Field } from "../../parts/field.tsx";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./custody.module.css";

const said = words.custody.find;

/** A frame by what is known of it: leads to its story. */
export function FindFrame() {
  const [asked, ask] = useSearchParams();
  const text = asked.get("frame") ?? "";
  const [typed, setTyped] = useState(text);
  const found = useAnswer<readonly FoundFrame[]>(
    text === "" ? null : `/custody/frames?text=${encodeURIComponent(text)}`,
    ["frame", "intake"],
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    ask((now) => {
      if (typed.trim() === "") now.delete("frame");
      else now.set("frame", typed.trim());
      return now;
    });
  };
  return (
    <section aria-labelledby="find-frame">
      <h2 id="find-frame">{said.title}</h2>
      <form className={css.oneField} onSubmit={submit}>
        <Field
          label={said.label}
          hint={said.hint}
          value={typed}
          onChange={setTyped}
          maxLength={200}
          autoComplete="off"
        />
        <Button type="submit">{said.go}</Button>
      </form>
      {text !== "" && (
        <Answered of={found}>
          {(rows) =>
            rows.length === 0 ? (
              <p>{said.none}</p>
            ) : (
              <ul className={css.lines}>
                {rows.map(({ id, name, request, patient, at }) => (
                  <li key={id} className={css.found}>
                    <Link to={`/custody/frame/${id}`}>{name}</Link>
                    <span>{request?.code ?? words.custody.frame.nobody}</span>
                    <span className="quiet">
                      {[patient?.name, at?.slice(0, 16).replace("T", " ")].filter(Boolean).join(" · ")}
                    </span>
                  </li>
                ))}
              </ul>
            )
          }
        </Answered>
      )}
    </section>
  );
}

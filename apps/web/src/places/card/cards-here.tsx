import type { CardFolders, JobBegun } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Field } from "../../parts/field.tsx";
import { words } from "../../words/index.ts";
import css from "./card.module.css";

const said = words.card.here;

/** Cards in a reader of the server's own machine; any other folder is typed. */
export function CardsHere({ onBegun }: { readonly onBegun: (job: string) => void }) {
  const here = useAnswer<CardFolders>("/card/folders");
  const [typed, setTyped] = useState("");
  const takeIn = useAct(async (folder: string) => {
    const { job } = await ask<JobBegun>("POST", "/card/take-in", { folder });
    onBegun(job);
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (typed.trim() !== "") takeIn.mutate(typed.trim());
  };
  return (
    <section aria-labelledby="cards-here">
      <div className={css.between}>
        <h2 id="cards-here">{said.title}</h2>
        <Button look="bare" onPress={() => void here.refetch()}>
          {said.look}
        </Button>
      </div>
      <Answered of={here}>
        {({ folders, anyFolder, below }) => (
          <>
            {folders.length === 0 && <p className="quiet">{said.none}</p>}
            <ul className={css.lines}>
              {folders.map(({ path, name, hasCameraFolder }) => (
                <li key={path} className={css.line}>
                  <div>
                    <strong>{name}</strong>
                    <p className="quiet">
                      {path}
                      {hasCameraFolder && ` · ${said.camera}`}
                    </p>
                  </div>
                  <Button aria-label={`${said.go} ${name}`} onPress={() => takeIn.mutate(path)}>
                    {said.go}
                  </Button>
                </li>
              ))}
            </ul>
            {(anyFolder || below.length > 0) && (
              <form className={css.typed} onSubmit={submit}>
                <Field
                  label={said.other}
                  hint={anyFolder ? said.otherHint : said.below(below)}
                  value={typed}
                  onChange={setTyped}
                  maxLength={1000}
                  autoComplete="off"
                  spellCheck="false"
                />
                <Button type="submit" isDisabled={typed.trim() === ""}>
                  {said.go}
                </Button>
              </form>
            )}
          </>
        )}
      </Answered>
    </section>
  );
}

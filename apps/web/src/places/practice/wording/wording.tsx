import type { PracticeChanged, ShownWording, WordingsOfScope } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { usePracticeChange } from "../use-practice-change.ts";
import own from "./wording.module.css";

const { wording: say, cancel } = words.practice;

/** Wordings of the starting practice say so in their version. */
const isStarting = (version: string) => version.startsWith("0 ");

/** What is put to patients, scope by scope, as they will read it. */
export function Wording() {
  const scopes = useAnswer<readonly WordingsOfScope[]>("/practice/wordings", ["practice"]);
  const [adding, setAdding] = useState<WordingsOfScope | null>(null);
  return (
    <PracticePage here="wording">
      <p className={css.text}>{say.says}</p>
      <Answered of={scopes}>
        {(list) =>
          list.map((scope) => (
            <section key={scope.scope} className={own.scope}>
              <h2>{scope.words}</h2>
              <InForce scope={scope} />
              <p>
                <Button onPress={() => setAdding(scope)} aria-label={say.addFor(scope.words)}>
                  {say.add}
                </Button>
              </p>
            </section>
          ))
        }
      </Answered>
      {adding && <NewVersion key={adding.scope} scope={adding} onClose={() => setAdding(null)} />}
    </PracticePage>
  );
}

function InForce({ scope: { wordings } }: { readonly scope: WordingsOfScope }) {
  const [now, ...older] = wordings;
  if (!now) return <p className={css.warn}>○ {say.none}</p>;
  return (
    <>
      {isStarting(now.version) && <p className={css.warn}>○ {say.starting}</p>}
      <One wording={now} />
      {older.length > 0 && (
        <details>
          <summary>{say.older(older.length)}</summary>
          <div className={css.section}>
            {older.map((wording) => (
              <One key={wording.version} wording={wording} />
            ))}
          </div>
        </details>
      )}
    </>
  );
}

function One({ wording: { version, text, sha256, isInForce } }: { readonly wording: ShownWording }) {
  return (
    <>
      <p className={own.read}>{text}</p>
      <p className={css.small}>
        {say.version(version)}
        {isInForce && `, ${say.inForce}`}
        <br />
        {say.hash}: <span className={css.mono}>{sha256}</span>
      </p>
    </>
  );
}

function NewVersion({ scope, onClose }: { readonly scope: WordingsOfScope; readonly onClose: () => void }) {
  const [version, setVersion] = useState("");
  const [text, setText] = useState(scope.wordings[0]?.text ?? "");
  const add = usePracticeChange(
    () =>
      ask<PracticeChanged>("POST", "/practice/wordings", { scope: scope.scope, version, text: text.trim() }),
    () => say.saved,
  );
  return (
    <Dialog title={say.addFor(scope.words)} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          add.mutate(undefined, { onSuccess: onClose });
        }}
      >
        <Field
          label={say.versionLabel}
          value={version}
          onChange={setVersion}
          hint={say.versionHint}
          maxLength={40}
          autoFocus
        />
        <Field
          label={say.text}
          value={text}
          onChange={setText}
          hint={say.textHint}
          lines={8}
          maxLength={4000}
        />
        <div className={own.read}>
          <h3>{scope.words}</h3>
          <p>{text}</p>
        </div>
        {add.error != null && <Problem report={reportFrom(add.error)} />}
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={add.isPending || version.trim() === ""}>
            {say.save}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}

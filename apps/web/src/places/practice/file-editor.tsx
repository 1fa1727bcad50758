import type { PracticeChanged, ShownPracticeFile } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../api/client.ts";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Field } from "../../parts/field.tsx";
import { words } from "../../words/index.ts";
import { FaultList } from "./fault-list.tsx";
import css from "./practice.module.css";
import { PracticePage } from "./practice-page.tsx";
import { useChecked } from "./use-checked.ts";
import { usePracticeChange } from "./use-practice-change.ts";
import own from "./views/view-sets.module.css";

const { file: say } = words.practice.views;

/** A file of the practice as text: the way out for whoever knows it. */
export function FileEditor({ path }: { readonly path: string }) {
  const file = useAnswer<ShownPracticeFile>(`/practice/file?path=${encodeURIComponent(path)}`, ["practice"]);
  return (
    <PracticePage
      here={path.startsWith("view-sets/") ? "views" : path === "kit.yaml" ? "kit" : ""}
      title={say.title(path)}
    >
      <p className={css.text}>
        {say.says} <span className="quiet">{say.docs}</span>
      </p>
      <Answered of={file}>{(one) => <Editor key={one.sha256} file={one} />}</Answered>
    </PracticePage>
  );
}

function Editor({ file }: { readonly file: ShownPracticeFile }) {
  const { path, sha256, earlier } = file;
  const [text, setText] = useState(file.text);
  const isChanged = text !== file.text;
  const { faults, isAsking } = useChecked(isChanged ? { path, text } : null);
  const change = usePracticeChange(
    (wanted: string) =>
      ask<PracticeChanged>("POST", "/practice/change", { path, before: sha256, text: wanted }),
    () => say.saved,
  );
  const look = async (hash: string) => {
    const { text: before } = await ask<{ text: string }>(
      "GET",
      `/practice/file/earlier?path=${encodeURIComponent(path)}&sha256=${hash}`,
    );
    setText(before);
  };
  return (
    <div className={css.stack}>
      <div className={own.editor}>
        <Field
          label={say.text}
          value={text}
          onChange={setText}
          lines={24}
          maxLength={200_000}
          spellCheck="false"
        />
      </div>
      <p className={css.row}>
        <Button
          look="chief"
          isDisabled={!isChanged || isAsking || faults.length > 0 || change.isPending}
          onPress={() => change.mutate(text)}
        >
          {say.save}
        </Button>
        {isChanged && <Button onPress={() => setText(file.text)}>{words.practice.views.reset}</Button>}
        <span role="status" className={faults.length > 0 ? css.warn : "quiet"}>
          {isChanged &&
            (isAsking ? say.checking : faults.length > 0 ? words.practice.faults(faults.length) : say.holds)}
        </span>
      </p>
      {isChanged && <FaultList faults={faults} />}
      <section className={css.section}>
        <h2>{say.earlier}</h2>
        {earlier.length === 0 && <p className="quiet">{say.noEarlier}</p>}
        <ul className={css.lines}>
          {earlier.map(({ at, by, before }) => (
            <li key={at + before} className={css.line}>
              <span>{at.slice(0, 16).replace("T", " ")}</span>
              <span className="quiet">{by}</span>
              {before === null ? (
                <span className="quiet">{say.made}</span>
              ) : (
                <Button onPress={() => void look(before)}>{say.look}</Button>
              )}
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}

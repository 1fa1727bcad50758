import type { BedsideList, BedsideNow } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct, useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Field } from "../../parts/field.tsx";
import { keptHere } from "../../shell/kept.ts";
import { words } from "../../words/index.ts";
import { CautionList } from "./cautions.tsx";
import css from "./choose.module.css";

/** The folder of the last session is that of the next. */
const KEPT = "samescale-bedside-folder";
const OTHER = "other";

/** Where the frames arrive, and the cautions; then one press. */
export function BeginSession({ now, path }: { readonly now: BedsideNow; readonly path: string }) {
  const list = useAnswer<BedsideList>("/bedside");
  return (
    <div className={css.begin}>
      <p className={css.subject}>
        {now.title}. {words.bedside.planned(now.views.length)}.
      </p>
      <CautionList cautions={now.cautions} />
      <Answered of={list}>
        {({ arrivals }) => <Where arrivals={arrivals} before={now.folder} path={path} />}
      </Answered>
    </div>
  );
}

function Where(props: {
  readonly arrivals: BedsideList["arrivals"];
  readonly before: string | null;
  readonly path: string;
}) {
  const { folders, anyFolder } = props.arrivals;
  const last = props.before ?? keptHere.read(KEPT);
  const known = (folder: string | null) => folders.some((one) => one.path === folder);
  const first = known(last) ? last! : (folders[0]?.path ?? OTHER);
  const [chosen, choose] = useState(last !== null && !known(last) && anyFolder ? OTHER : first);
  const [typed, type] = useState(known(last) ? "" : (last ?? ""));
  const folder = chosen === OTHER ? typed.trim() : chosen;
  const begin = useAct(async () => {
    await ask("POST", `${props.path}/begin`, { folder });
    keptHere.write(KEPT, folder);
  });
  if (folders.length === 0 && !anyFolder) {
    return (
      <Empty title={words.bedside.noFolder}>
        <p>{words.bedside.noFolderHelp}</p>
      </Empty>
    );
  }
  const options = [
    ...folders.map(({ path, name }) => ({ value: path, label: name })),
    ...(anyFolder ? [{ value: OTHER, label: words.bedside.folderOther }] : []),
  ];
  return (
    <form
      className={css.begin}
      onSubmit={(event) => {
        event.preventDefault();
        begin.mutate(undefined);
      }}
    >
      {folders.length > 0 && (
        <Choices label={words.bedside.folder} options={options} value={chosen} onChange={choose} />
      )}
      {chosen === OTHER && (
        <Field
          label={words.bedside.folderPath}
          hint={words.bedside.folderHint}
          value={typed}
          onChange={type}
          autoComplete="off"
          spellCheck="false"
        />
      )}
      <div className={css.go}>
        <Button type="submit" look="chief" isDisabled={folder === "" || begin.isPending}>
          {words.bedside.beginPress}
        </Button>
      </div>
    </form>
  );
}

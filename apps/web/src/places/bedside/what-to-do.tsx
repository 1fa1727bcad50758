import type { BedsideFrame } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";
import { Button } from "../../parts/button.tsx";
import { Verdict } from "../../parts/verdict.tsx";
import { useKeys } from "../../shell/keys.ts";
import { words } from "../../words/index.ts";
import css from "./live.module.css";
import { numberBehind } from "./number-behind.ts";

type Said = "keep" | "repeat" | "your-choice";

/** One sentence for the hand; the number second; the person's own word, if they know better. */
export function WhatToDo({ frame, path }: { readonly frame: BedsideFrame; readonly path: string }) {
  const { judged, problem, word } = frame;
  const at = `${path}/frames/${frame.id}/word`;
  const say = useAct((said: Said | null) => ask<{ before: Said | null }>("POST", at, { said }), {
    say: (_, said) => words.bedside.wordKept(words.parts.verdicts[said ?? judged?.verdict ?? "not-judged"]),
    undo: ({ before }) => ask("POST", at, { said: before }),
  });
  // A label is read or it is not: there is nothing to decide otherwise.
  const isTheirs = judged !== null && judged.label === null;
  const counts = word?.said ?? judged?.verdict ?? null;
  useKeys(
    words.shell.names.bedside,
    isTheirs
      ? [
          { key: "k", does: words.bedside.keys.keep, run: () => say.mutate("keep") },
          { key: "r", does: words.bedside.keys.repeat, run: () => say.mutate("repeat") },
        ]
      : [],
  );
  if (problem) {
    return (
      <div className={css.say} role="status">
        <Verdict verdict="not-judged" large />
        <p className={css.sentence}>{`${words.bedside.problem}: ${problem.message}`}</p>
        <p className={css.number}>{problem.help}</p>
      </div>
    );
  }
  if (judged === null) {
    return (
      <div className={css.say} role="status">
        <p className={`${css.sentence} quiet`}>{words.bedside.looking}</p>
        <p className={css.of}>{frame.fileName}</p>
      </div>
    );
  }
  const number = numberBehind(judged.findings);
  return (
    <div className={css.say}>
      <div role="status">
        <p className={css.verdict}>
          <Verdict verdict={counts ?? "not-judged"} large />
          {word && <span className="quiet"> {words.bedside.yourWord}</span>}
        </p>
        <p className={word ? css.overruled : css.sentence}>{judged.say}</p>
        {number && <p className={css.number}>{number}</p>}
      </div>
      <p className={css.of}>{[judged.viewName, frame.fileName].filter(Boolean).join(", ")}</p>
      {judged.notJudged.length > 0 && (
        <details className={css.notJudged}>
          <summary>{`${words.bedside.notJudged}: ${judged.notJudged.length}`}</summary>
          <ul>
            {judged.notJudged.map((what) => (
              <li key={what}>{what}</li>
            ))}
          </ul>
        </details>
      )}
      {isTheirs && (
        <div className={css.word}>
          {counts !== "keep" && (
            <Button onPress={() => say.mutate("keep")}>{words.bedside.keepAnyway}</Button>
          )}
          {counts !== "repeat" && (
            <Button onPress={() => say.mutate("repeat")}>{words.bedside.repeatAnyway}</Button>
          )}
          {word && (
            <Button look="bare" onPress={() => say.mutate(null)}>
              {words.bedside.wordBack}
            </Button>
          )}
        </div>
      )}
    </div>
  );
}

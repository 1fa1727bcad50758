import type { PracticeOverview, ViewSetToEdit } from "@samescale/server";
import { useState } from "react";
import { Link as Routed, useLocation, useSearchParams } from "wouter";
import { ask } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Link } from "../../../parts/link.tsx";
import { ViewDrawing } from "../../../parts/view-drawing.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { usePracticeChange } from "../use-practice-change.ts";
import { CopySet } from "./copy-set.tsx";
import { ViewForm } from "./view-form.tsx";
import own from "./view-sets.module.css";

const { views: say } = words.practice;

/** One view set: its views at the left, the chosen one as a form. */
export function ViewSet({ setKey }: { readonly setKey: string }) {
  const set = useAnswer<ViewSetToEdit>(`/practice/view-sets/${encodeURIComponent(setKey)}`, ["practice"]);
  const { isOwn } = useAnswer<PracticeOverview>("/practice", ["practice"]).data ?? { isOwn: true };
  const [isCopying, setCopying] = useState(false);
  const [, go] = useLocation();
  const remove = usePracticeChange(
    (before: string) => ask("DELETE", `/practice/view-sets/${encodeURIComponent(setKey)}?before=${before}`),
    () => say.removed(set.data?.name ?? setKey),
  );
  return (
    <PracticePage
      here="views"
      title={set.data?.name ?? setKey}
      acts={
        set.data &&
        isOwn && (
          <>
            <Button onPress={() => setCopying(true)}>{say.copy}</Button>
            <Link to={`/practice/file/${set.data.file.path}`} look="plain">
              {say.text}
            </Link>
            <Button
              onPress={() =>
                remove.mutate(set.data.file.sha256, {
                  onSuccess: () => go("/practice/views", { replace: true }),
                })
              }
            >
              {say.remove}
            </Button>
          </>
        )
      }
    >
      {!isOwn && (
        <p className={css.note}>
          {say.notOwnPractice} <Routed href="/practice">{say.toOverview}</Routed>
        </p>
      )}
      <Answered of={set}>{(one) => <Views set={one} isOwn={isOwn} />}</Answered>
      {set.data && <CopySet from={set.data} isOpen={isCopying} onClose={() => setCopying(false)} />}
    </PracticePage>
  );
}

function Views({ set, isOwn }: { readonly set: ViewSetToEdit; readonly isOwn: boolean }) {
  const [wanted, want] = useSearchParams();
  const found = set.views.findIndex(({ key }) => key === wanted.get("view"));
  const at = Math.max(0, found);
  const goTo = (index: number) => {
    const next = set.views[index];
    if (next) want({ view: next.key }, { replace: true });
  };
  useKeys(say.viewList, [
    { key: "ArrowUp", does: "", run: () => goTo(at - 1) },
    { key: "ArrowDown", does: "", run: () => goTo(at + 1) },
  ]);
  const view = set.views[at]!;
  return (
    <div className={own.whole}>
      <nav aria-label={say.viewList} className={own.list}>
        {set.views.map(({ key, name, ratio, figure }, i) => (
          <Routed
            key={key}
            href={`?view=${encodeURIComponent(key)}`}
            replace
            className={own.view}
            aria-current={i === at ? "true" : undefined}
          >
            <span className={own.small}>
              <ViewDrawing figure={figure} />
            </span>
            <span>{name}</span>
            <span className="number">{ratio}</span>
          </Routed>
        ))}
      </nav>
      <ViewForm
        key={`${set.file.sha256}${view.key}`}
        set={set}
        view={view}
        at={at}
        isOwn={isOwn}
        goTo={goTo}
      />
    </div>
  );
}

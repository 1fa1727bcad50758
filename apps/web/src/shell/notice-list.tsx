import { useLayoutEffect, useRef } from "react";
import { reportFrom } from "../api/client.ts";
import { Button } from "../parts/button.tsx";
import { Problem } from "../parts/problem.tsx";
import { words } from "../words/index.ts";
import { useKeys } from "./keys.ts";
import { dismiss, notify, useNotices } from "./notices.ts";
import css from "./shell.module.css";

/** What was just done, with its undo, and what went wrong. Read out without taking the focus. */
export function NoticeList() {
  const notices = useNotices();
  const undoable = notices.findLast(({ undo }) => undo);
  const takeBack = async () => {
    if (!undoable?.undo) return;
    dismiss(undoable.id);
    try {
      await undoable.undo();
      notify({ say: words.shell.undone });
    } catch (thrown) {
      notify({ problem: reportFrom(thrown) });
    }
  };
  useKeys(words.shell.everywhere, [{ key: "z", does: words.shell.undoKey, run: () => void takeBack() }]);
  // The work ends above them: what they would lie over can be scrolled free.
  const list = useRef<HTMLElement>(null);
  useLayoutEffect(() => {
    const { style } = document.documentElement;
    const told = new ResizeObserver(() =>
      style.setProperty("--notices-height", `${list.current?.offsetHeight ?? 0}px`),
    );
    told.observe(list.current!);
    return () => told.disconnect();
  }, []);
  return (
    <section
      ref={list}
      className={`${css.notices} not-printed`}
      aria-label={words.shell.notices}
      role="status"
    >
      {notices.map((notice) => (
        <div key={notice.id} className={css.notice}>
          {notice.problem ? <Problem report={notice.problem} /> : <p>{notice.say}</p>}
          {notice.reload && <Button onPress={() => location.reload()}>{words.shell.reload}</Button>}
          {notice.undo && <Button onPress={() => void takeBack()}>{words.shell.undo}</Button>}
          <Button look="bare" aria-label={words.shell.dismiss} onPress={() => dismiss(notice.id)}>
            ×
          </Button>
        </div>
      ))}
    </section>
  );
}

import type { CardFileResult } from "@samescale/server";
import { useVirtualizer } from "@tanstack/react-virtual";
import { useRef } from "react";
import { useSearchParams } from "wouter";
import { Choices } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.result;
type Which = "all" | "problems";
const isProblem = ({ state }: CardFileResult) => state === "not-a-picture" || state === "unreadable";
const LINE_PX = 44;

/** Every file of the card and what became of it; 5,000 of them scroll without a stutter. */
export function FileList({ files }: { readonly files: readonly CardFileResult[] }) {
  const [asked, ask] = useSearchParams();
  const problems = files.filter(isProblem);
  const which: Which = asked.get("files") === "problems" && problems.length > 0 ? "problems" : "all";
  const shown = which === "all" ? files : problems;
  const scroller = useRef<HTMLElement>(null);
  const rows = useVirtualizer({
    count: shown.length,
    getScrollElement: () => scroller.current,
    estimateSize: () => LINE_PX,
    overscan: 12,
  });
  if (files.length === 0) return null;
  return (
    <div className={css.fileSection}>
      <div className={css.between}>
        <h2>{said.fileList}</h2>
        {problems.length > 0 && (
          <Choices<Which>
            label={said.became}
            value={which}
            options={[
              { value: "all", label: said.all, hint: String(files.length) },
              { value: "problems", label: said.problems, hint: String(problems.length) },
            ]}
            onChange={(next) =>
              ask((now) => {
                now.set("files", next);
                return now;
              })
            }
          />
        )}
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by keyboard. */}
      <section ref={scroller} className={css.fileList} tabIndex={0} aria-label={said.fileList}>
        <ul className={css.fileRows} style={{ height: rows.getTotalSize() }}>
          {rows.getVirtualItems().map(({ index, start, key }) => {
            const file = shown[index]!;
            return (
              <li
                key={key}
                data-index={index}
                ref={rows.measureElement}
                className={css.fileRow}
                style={{ transform: `translateY(${start}px)` }}
                aria-posinset={index + 1}
                aria-setsize={shown.length}
              >
                <span className={css.filePath}>{file.path}</span>
                <span className={isProblem(file) ? css.problem : ""}>
                  {said[file.state]}
                  {file.reason && `: ${file.reason}`}
                  {!isProblem(file) && file.copies !== null && (
                    <span className="quiet"> · {said.copies[file.copies]}</span>
                  )}
                </span>
                <span className={`quiet ${css.fileSize}`}>{words.card.bytes(file.bytes)}</span>
              </li>
            );
          })}
        </ul>
      </section>
    </div>
  );
}

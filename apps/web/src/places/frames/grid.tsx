import { useWindowVirtualizer } from "@tanstack/react-virtual";
import { type KeyboardEvent, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./grid.module.css";
import { type Group, neighbour, type Row, rowsOf } from "./groups.ts";
import { Thumb } from "./thumb.tsx";
import { useIsFlung } from "./use-is-flung.ts";

const { frames: say } = words;

const LEAST_PX = 168;
const GAP_PX = 12;
const CAPTION_PX = 76;
const HEAD_PX = 56;
/** On a phone the title has a line of its own. */
const NARROW_PX = 520;
const NARROW_HEAD_PX = 84;
const ARROWS = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End"];

export interface GridProps {
  readonly groups: readonly Group[];
  readonly at: string | null;
  readonly marked: ReadonlySet<string>;
  readonly onChoose: (frameId: string) => void;
  readonly onOpen: (frameId: string) => void;
  readonly onMark: (frameId: string) => void;
  /** The end of what is loaded comes into sight. */
  readonly onNearEnd: () => void;
}

/** Thousands of small pictures by request and visit; only what is in sight is drawn. Arrows move, space marks, enter opens. */
export function Grid({ groups, at, marked, onChoose, onOpen, onMark, onNearEnd }: GridProps) {
  const box = useRef<HTMLDivElement>(null);
  const { columns, thumbPx, top, headPx } = useColumns(box);
  const rows = useMemo(() => rowsOf(groups, columns), [groups, columns]);
  const heightOf = (row: Row | undefined) =>
    row?.kind === "head" ? headPx : Math.round((thumbPx * 2) / 3) + CAPTION_PX + GAP_PX;
  const virtual = useWindowVirtualizer({
    count: rows.length,
    estimateSize: (index) => heightOf(rows[index]),
    getItemKey: (index) => keyOf(rows[index]),
    overscan: 4,
    scrollMargin: top,
    scrollPaddingEnd: 180,
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: other heights where the columns are others
  useLayoutEffect(() => virtual.measure(), [thumbPx]);
  const isFlung = useIsFlung();
  const drawn = virtual.getVirtualItems();
  const last = drawn.at(-1)?.index ?? 0;
  useEffect(() => {
    if (rows.length > 0 && last >= rows.length - 8) onNearEnd();
  }, [last, rows.length, onNearEnd]);

  // An address that names a frame, and who comes back from looking at one, find it in sight.
  const isThere = useRef(false);
  useEffect(() => {
    if (isThere.current || rows.length === 0) return;
    isThere.current = true;
    const line = at === null ? -1 : lineOf(rows, at);
    if (line > 1) virtual.scrollToIndex(line, { align: "center" });
  }, [rows, at, virtual]);

  const takesFocus = useRef(false);
  useEffect(() => {
    if (!takesFocus.current || at === null) return;
    const cell = document.getElementById(`frame-${at}`);
    if (!cell) return;
    cell.focus({ preventScroll: true });
    takesFocus.current = false;
  });
  const goTo = (frameId: string | null) => {
    if (frameId === null) return;
    takesFocus.current = true;
    const line = lineOf(rows, frameId);
    // Upwards the line that says whose they are comes into sight as well.
    const isUp = line <= (virtual.range?.startIndex ?? 0) + 1;
    virtual.scrollToIndex(isUp && rows[line - 1]?.kind === "head" ? line - 1 : line, { align: "auto" });
    onChoose(frameId);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (ARROWS.includes(event.key)) goTo(neighbour(rows, at, event.key));
    else if (event.key === "Enter" && at !== null && isCell(event)) onOpen(at);
    else if (event.key === " " && at !== null && isCell(event)) onMark(at);
    else return;
    event.preventDefault();
  };
  const first = rows.find((row) => row.kind === "frames")?.frames[0]?.frameId ?? null;
  const isShown = at !== null && groups.some(({ frames }) => frames.some((f) => f.frameId === at));
  const current = isShown ? at : first;
  return (
    <div ref={box} className={css.box}>
      {/* biome-ignore lint/a11y/useSemanticElements: lines are placed one by one, which a table cannot */}
      <div
        role="grid"
        aria-label={say.list}
        aria-multiselectable="true"
        aria-rowcount={rows.length}
        tabIndex={-1}
        className={css.grid}
        style={{ height: virtual.getTotalSize() }}
        onKeyDown={onKeyDown}
      >
        {drawn.map(({ index, key, start }) => {
          const row = rows[index]!;
          return (
            // biome-ignore lint/a11y/useSemanticElements: as above
            <div
              key={key}
              role="row"
              tabIndex={-1}
              aria-rowindex={index + 1}
              className={row.kind === "head" ? css.headRow : css.row}
              style={{
                transform: `translateY(${start - top}px)`,
                ...(row.kind === "frames" && { gridTemplateColumns: `repeat(${columns}, minmax(0, 1fr))` }),
              }}
            >
              {row.kind === "head" ? (
                <Head group={row.group} />
              ) : (
                row.frames.map((frame) => (
                  <Thumb
                    key={frame.frameId}
                    frame={frame}
                    isCurrent={frame.frameId === current}
                    isMarked={marked.has(frame.frameId)}
                    isFlung={isFlung}
                    onChoose={onChoose}
                    onOpen={onOpen}
                    onMark={onMark}
                  />
                ))
              )}
            </div>
          );
        })}
      </div>
    </div>
  );
}

const isCell = (event: KeyboardEvent) => (event.target as Element).getAttribute("role") === "gridcell";

const lineOf = (rows: readonly Row[], frameId: string): number =>
  rows.findIndex((row) => row.kind === "frames" && row.frames.some((f) => f.frameId === frameId));

const keyOf = (row: Row | undefined): string =>
  row === undefined ? "" : row.kind === "head" ? `head ${row.group.key}` : row.key;

/** Whose frames follow. It stands over them, and leads to them alone. */
function Head({ group: { request, visit, frames } }: { readonly group: Group }) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: as above
    <div role="gridcell" tabIndex={-1} className={css.head}>
      {request === null ? (
        <>
          <strong>{say.unplaced}</strong> <Link to="/card/waiting">{say.toPlace}</Link>
        </>
      ) : (
        <>
          <Link to={`/frames?request=${encodeURIComponent(request.code)}`}>{request.code}</Link>
          <span className={css.headTitle}>{request.title}</span>
          {visit && (
            <Link to={`/frames?request=${encodeURIComponent(request.code)}&visit=${visit.id}`}>
              {say.visit(visit.date)}
            </Link>
          )}
        </>
      )}
      <span className="quiet">{say.count(frames.length, false)}</span>
    </div>
  );
}

/** How many fit beside each other, and where the grid begins on the page. */
function useColumns(box: React.RefObject<HTMLDivElement | null>) {
  const [size, setSize] = useState({ columns: 4, thumbPx: LEAST_PX, top: 0, headPx: HEAD_PX });
  useLayoutEffect(() => {
    const element = box.current!;
    const look = () => {
      const widthPx = element.clientWidth;
      const least = widthPx < 400 ? 130 : LEAST_PX;
      const columns = Math.max(1, Math.floor((widthPx + GAP_PX) / (least + GAP_PX)));
      const thumbPx = (widthPx - (columns - 1) * GAP_PX) / columns;
      const top = element.getBoundingClientRect().top + scrollY;
      setSize((was) =>
        was.columns === columns && was.thumbPx === thumbPx && was.top === top
          ? was
          : { columns, thumbPx, top, headPx: widthPx < NARROW_PX ? NARROW_HEAD_PX : HEAD_PX },
      );
    };
    look();
    const watch = new ResizeObserver(look);
    watch.observe(element);
    watch.observe(document.body);
    return () => watch.disconnect();
  }, [box]);
  return size;
}

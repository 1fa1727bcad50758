import type { PictureTiles } from "@samescale/server";
import {
  createContext,
  type KeyboardEvent,
  type ReactNode,
  useContext,
  useEffect,
  useId,
  useRef,
  useState,
} from "react";
import { useAnswer } from "../api/use-answer.ts";
import { Answered } from "../parts/answered.tsx";
import { useKeys } from "../shell/keys.ts";
import { words } from "../words/index.ts";
import { CasedLine } from "./cased.tsx";
import { tilesPath } from "./picture-url.ts";
import type { SharedView } from "./shared-view.ts";
import { openStage, type Place, type Stage } from "./stage.ts";
import css from "./viewer.module.css";
import { ViewerBar } from "./viewer-bar.tsx";

/** A drag that draws: all four are called with places in upright picture px. */
export interface DragTool {
  begin(at: Place, isShifted: boolean): void;
  move(at: Place): void;
  end(at: Place): void;
  /** A second finger, Escape: nothing was drawn. */
  cancel(): void;
}

export interface PictureViewerProps {
  readonly sha256: string;
  /** What is seen, for those who do not see it: "Frame VC010024". */
  readonly label: string;
  /** CSS height of picture and bar together. */
  readonly height?: string;
  /**
   * SVG in upright picture px (`CasedLine`, `CasedPoint`, any path with the class of neither): strokes keep their width on the screen. What
   * needs a size on the screen asks `useScreenScale()` for screen px per picture px.
   */
  readonly children?: ReactNode;
  /** A click, a tap, or Enter with the cross that the arrow keys move: a point in upright picture px. */
  readonly onPoint?:
    | ((xPx: number, yPx: number, isShifted: boolean, screenScale: number) => void)
    | undefined;
  /** With it a drag draws instead of moving the picture; two fingers, the wheel and keys still move it. */
  readonly onDrag?: DragTool | undefined;
  /** Where the pointer is, for a brush that shows its size; null: not on the picture. */
  readonly onHover?: ((at: Place | null) => void) | undefined;
  /** A part to be shown now; another object shows another. */
  readonly look?: Look | null;
  /** The same for every viewer that is moved in lock-step (`createSharedView`). */
  readonly shared?: SharedView;
  /** Units of the shared view per picture px: mm per px shows pictures of different sizes at one scale. Left out: shares of the width. */
  readonly unitPerPx?: number | undefined;
  /** Beside the zoom, below the picture. */
  readonly bar?: ReactNode;
}

/** A part of the picture, by its middle and width. */
export interface Look {
  readonly x: number;
  readonly y: number;
  readonly widthPx: number;
}

const ScreenScale = createContext(1);
/** Screen px per picture px, for what is drawn over it and has a size on the screen. */
export const useScreenScale = (): number => useContext(ScreenScale);

/**
 * A picture by tiles, to be looked at closely: moved by pointer, fingers and keys; nothing floats over it but what is drawn
 * in its own pixels.
 */
export function PictureViewer(props: PictureViewerProps) {
  const tiles = useAnswer<PictureTiles>(tilesPath(props.sha256));
  return (
    <figure className={css.viewer} style={{ height: props.height ?? "min(calc(100dvh - 10rem), 100vw)" }}>
      <Answered of={tiles}>
        {(answer) => <OpenPicture key={props.sha256} {...props} tiles={answer} />}
      </Answered>
    </figure>
  );
}

function OpenPicture(props: PictureViewerProps & { readonly tiles: PictureTiles }) {
  const { sha256, tiles, label, children, onPoint, shared, bar } = props;
  const unit = props.unitPerPx ?? 1 / tiles.widthPx;
  const holder = useRef<HTMLDivElement>(null);
  const frame = useRef<HTMLDivElement>(null);
  const group = useRef<SVGGElement>(null);
  const stage = useRef<Stage | null>(null);
  const latest = useRef(props);
  latest.current = props;
  const [scale, setScale] = useState(1);
  const [cross, setCross] = useState<Place | null>(null);
  const [me] = useState({});
  const help = useId();

  useEffect(() => {
    let isNew = true;
    const opened = openStage(holder.current!, sha256, tiles, {
      seen(left, top, now) {
        group.current?.setAttribute("transform", `matrix(${now} 0 0 ${now} ${left} ${top})`);
        setScale(now);
        // The one that opens later shows what the others show.
        const joins = isNew && shared?.seen && shared.leader !== me;
        isNew = false;
        if (joins) opened.showPart(shared.seen!, unit);
        else if (shared && (shared.leader === me || shared.seen === null)) shared.show(opened.part(unit), me);
      },
      taken() {
        if (shared) shared.leader = me;
        frame.current?.focus({ preventScroll: true });
        setCross(null);
      },
      click: ({ x, y }, isShifted) => latest.current.onPoint?.(x, y, isShifted, opened.scale),
      press(at, isShifted) {
        latest.current.onDrag?.begin(at, isShifted);
        return latest.current.onDrag !== undefined;
      },
      drag: (at) => latest.current.onDrag?.move(at),
      release: (at) => latest.current.onDrag?.end(at),
      cancel: () => latest.current.onDrag?.cancel(),
    });
    stage.current = opened;
    const unfollow = shared?.follow(me, (part) => opened.showPart(part, unit));
    return () => {
      unfollow?.();
      stage.current = null;
      opened.close();
    };
  }, [sha256, tiles, shared, unit, me]);

  const { look, onHover } = props;
  useEffect(() => {
    if (!look) return;
    stage.current?.showPart(
      { x: look.x - tiles.widthPx / 2, y: look.y - tiles.heightPx / 2, width: look.widthPx },
      1,
    );
  }, [look, tiles]);

  function zoomBy(factor: number): void {
    if (shared) shared.leader = me;
    stage.current?.zoomBy(factor, cross ?? undefined);
  }

  const keys = [
    { key: "+", does: words.viewer.larger, run: () => zoomBy(1.25) },
    { key: "-", does: words.viewer.smaller, run: () => zoomBy(0.8) },
    { key: "0", does: words.viewer.fit, run: () => stage.current?.fit() },
    { key: "1", does: words.viewer.pixels, run: () => stage.current?.trueSize() },
  ];
  useKeys(words.viewer.keys, keys);

  function onKeyDown(event: KeyboardEvent): void {
    const at = stage.current;
    if (!at || event.ctrlKey || event.metaKey || event.altKey) return;
    if (shared) shared.leader = me;
    // Of several pictures the one with the focus is meant.
    const own = keys.find(({ key }) => key === event.key);
    if (own) {
      event.preventDefault();
      own.run();
    }
    const [dx, dy] = ARROWS[event.key] ?? [0, 0];
    if (dx !== 0 || dy !== 0) {
      event.preventDefault();
      if (!onPoint) {
        at.panBy(0.1 * dx, 0.1 * dy);
        return;
      }
      const step = (event.shiftKey ? 10 : 1) * Math.max(1, 1 / scale);
      const from = cross ?? at.middle();
      const to = {
        x: Math.min(tiles.widthPx, Math.max(0, from.x + dx * step)),
        y: Math.min(tiles.heightPx, Math.max(0, from.y + dy * step)),
      };
      setCross(to);
      at.reveal(to);
    } else if (event.key === "Enter" && onPoint) {
      event.preventDefault();
      const to = cross ?? at.middle();
      setCross(to);
      onPoint(to.x, to.y, event.shiftKey, scale);
    }
  }

  return (
    <>
      <div
        ref={frame}
        className={`${css.picture} ${onPoint ? css.isPointing : ""}`}
        role="application"
        aria-label={label}
        aria-describedby={help}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is moved and pointed at by keys.
        tabIndex={0}
        onKeyDown={onKeyDown}
        onBlur={() => setCross(null)}
        onPointerMove={
          onHover && ((event) => onHover(stage.current?.at(event.clientX, event.clientY) ?? null))
        }
        onPointerLeave={onHover && (() => onHover(null))}
      >
        <div ref={holder} className={css.tiles} />
        <svg className={css.overlay} aria-hidden="true">
          <g ref={group}>
            <ScreenScale value={scale}>
              {children}
              {cross && <Cross at={cross} />}
            </ScreenScale>
          </g>
        </svg>
        <p id={help} className={css.heard}>
          {onPoint ? words.viewer.point : words.viewer.move}
        </p>
        <p className={css.heard} aria-live="polite">
          {cross && words.viewer.crossAt(cross.x, cross.y)}
        </p>
      </div>
      <ViewerBar stage={stage} scale={scale}>
        {bar}
      </ViewerBar>
    </>
  );
}

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Open in the middle, so that what is pointed at is seen. */
function Cross({ at: { x, y } }: { readonly at: Place }) {
  const scale = useScreenScale();
  const [near, far] = [4 / scale, 18 / scale];
  const arms = [
    [1, 0],
    [-1, 0],
    [0, 1],
    [0, -1],
  ] as const;
  const d = arms.map(([i, j]) => `M${x + i * near} ${y + j * near}L${x + i * far} ${y + j * far}`).join("");
  return <CasedLine d={d} />;
}

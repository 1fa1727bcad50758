import { type BodyChartName, type BodyMark, bodyChart, sayMark } from "@samescale/practice/body";
import { type KeyboardEvent, type PointerEvent, useRef, useState } from "react";
import { words } from "../../../words/index.ts";
import css from "./body-outline.module.css";

const say = words.request.form;
/** Fractions of the drawing's height: a step of an arrow key, and with shift. */
const STEP = 0.01;
const LARGE_STEP = 0.05;
const MARGIN = 0.04;

const ARROWS: Readonly<Record<string, readonly [x: number, y: number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/**
 * One of our body outlines, to be marked: with a pointer or a finger where it is touched; with the keyboard by a cross
 * that arrow keys move. Where the cross is, is said in words.
 */
export function BodyOutline({
  chart: name,
  marks,
  onMark,
  onTakeLast,
}: {
  readonly chart: BodyChartName;
  readonly marks: readonly BodyMark[];
  readonly onMark: (mark: BodyMark) => void;
  readonly onTakeLast: () => void;
}) {
  const chart = bodyChart(name);
  const drawing = useRef<SVGSVGElement>(null);
  const [cross, setCross] = useState<{ x: number; y: number }>({ x: 0.5, y: 0.5 });
  const [isFocused, setFocused] = useState(false);
  const { box } = chart;
  const margin = MARGIN * box.height;
  const shapeSize = box.height / box.width;
  const place = (at: { x: number; y: number }) => ({
    cx: box.x + at.x * box.width,
    cy: box.y + at.y * box.height,
  });
  const here: BodyMark = { chart: name, ...cross };

  const onKeyDown = (event: KeyboardEvent) => {
    const arrow = ARROWS[event.key];
    if (arrow) {
      const step = event.shiftKey ? LARGE_STEP : STEP;
      setCross({
        x: within(cross.x + arrow[0] * step * shapeSize),
        y: within(cross.y + arrow[1] * step),
      });
    } else if (event.key === "Enter" || event.key === " ") onMark(here);
    else if (event.key === "Delete" || event.key === "Backspace") onTakeLast();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const onPointerUp = (event: PointerEvent) => {
    const matrix = drawing.current?.getScreenCTM();
    if (!matrix || event.button !== 0) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    const mark = { x: within((at.x - box.x) / box.width), y: within((at.y - box.y) / box.height) };
    setCross(mark);
    onMark({ chart: name, ...mark });
  };

  const stroke = box.height / 260;
  return (
    <div className={css.outline}>
      <div
        className={css.drawing}
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a drawing that arrow keys act on is an application in ARIA's sense.
        tabIndex={0}
        aria-label={`${say.outline}: ${chart.words}`}
        aria-description={say.outlineHelp}
        onKeyDown={onKeyDown}
        onPointerUp={onPointerUp}
        onFocus={() => setFocused(true)}
        onBlur={() => setFocused(false)}
      >
        <svg
          ref={drawing}
          viewBox={`${box.x - margin} ${box.y - margin} ${box.width + 2 * margin} ${box.height + 2 * margin}`}
          aria-hidden="true"
        >
          {chart.strokes.map(({ path, pen }) => (
            <path key={path} d={path} className={pen === "line" ? css.line : css.fine} strokeWidth={stroke} />
          ))}
          {marks
            .filter((mark) => mark.chart === name)
            .map((mark) => (
              <g key={`${mark.x} ${mark.y}`}>
                <circle {...place(mark)} r={stroke * 5.5} className={css.markCase} />
                <circle {...place(mark)} r={stroke * 4} className={css.mark} />
              </g>
            ))}
          {SIDES[name] && <Sides letters={SIDES[name]} box={box} size={box.height / 24} />}
          {isFocused && <Cross at={place(cross)} size={stroke * 9} width={stroke} />}
        </svg>
      </div>
      <p className="quiet" role="status">
        {isFocused ? say.at(sayMark(here)) : say.outlineHelp}
      </p>
    </div>
  );
}

/** The patient's own sides, as they lie in the drawing: left of it and right of it. */
const SIDES: Partial<Record<BodyChartName, readonly [left: string, right: string]>> = {
  front: ["R", "L"],
  back: ["L", "R"],
  "head-front": ["R", "L"],
  "head-back": ["L", "R"],
};

function Sides({
  letters: [left, right],
  box,
  size,
}: {
  readonly letters: readonly [left: string, right: string];
  readonly box: { readonly x: number; readonly y: number; readonly width: number };
  readonly size: number;
}) {
  return (
    <g className={css.side} fontSize={size}>
      <text x={box.x} y={box.y + size}>
        {left}
      </text>
      <text x={box.x + box.width} y={box.y + size} textAnchor="end">
        {right}
      </text>
    </g>
  );
}

function Cross({
  at: { cx, cy },
  size,
  width,
}: {
  readonly at: { readonly cx: number; readonly cy: number };
  readonly size: number;
  readonly width: number;
}) {
  return (
    <g className={css.cross} strokeWidth={width}>
      <circle cx={cx} cy={cy} r={size * 0.55} />
      <path
        d={`M ${cx - size} ${cy} H ${cx - size * 0.3} M ${cx + size * 0.3} ${cy} H ${cx + size} M ${cx} ${cy - size} V ${cy - size * 0.3} M ${cx} ${cy + size * 0.3} V ${cy + size}`}
      />
    </g>
  );
}

/** Rounded: a thousandth of a body is finer than any finger. */
const within = (value: number): number => Math.round(1000 * Math.min(1, Math.max(0, value))) / 1000;

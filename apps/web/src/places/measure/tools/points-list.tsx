import { useEffect, useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";
import type { XY } from "./tool.ts";

const w = words.measure.tools;
/** Drawn freehand there are hundreds: nobody edits those one by one. */
const MOST_LISTED = 60;

interface PointsListProps {
  readonly points: readonly XY[];
  readonly onPoints: (points: readonly XY[]) => void;
}

/** How many points there are, and closing the line through them. */
export function PointsRow({ count, onClose, onDrop }: { count: number; onClose(): void; onDrop(): void }) {
  return (
    <div className={css.acts}>
      <strong>{w.pointCount(count)}</strong>
      <Button look="chief" isDisabled={count < 3} onPress={onClose}>
        {w.close}
      </Button>
      <Button look="bare" onPress={onDrop}>
        {w.drop}
      </Button>
    </div>
  );
}

/** The points collected so far: each can be moved by its numbers, or removed. */
export function PointsList({ points, onPoints }: PointsListProps) {
  if (points.length === 0 || points.length > MOST_LISTED) return null;
  const change = (at: number, point: XY) => onPoints(points.map((p, i) => (i === at ? point : p)));
  return (
    <ol className={css.points} aria-label={w.points}>
      {points.map(([x, y], i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: points keep their order.
        <li key={i}>
          <span className="quiet">{i + 1}</span>
          <Coordinate label={w.x(i + 1)} value={x} onValue={(next) => change(i, [next, y])} />
          <Coordinate label={w.y(i + 1)} value={y} onValue={(next) => change(i, [x, next])} />
          <Button
            look="bare"
            aria-label={w.remove(i + 1)}
            onPress={() => onPoints(points.filter((_, k) => k !== i))}
          >
            ×
          </Button>
        </li>
      ))}
    </ol>
  );
}

function Coordinate({
  label,
  value,
  onValue,
}: {
  readonly label: string;
  readonly value: number;
  readonly onValue: (value: number) => void;
}) {
  const [text, setText] = useState(value.toFixed(0));
  useEffect(() => setText(value.toFixed(0)), [value]);
  return (
    <input
      className={css.coordinate}
      aria-label={label}
      inputMode="numeric"
      value={text}
      onChange={({ target }) => {
        setText(target.value);
        const next = Number(target.value);
        if (target.value.trim() !== "" && Number.isFinite(next) && next >= 0) onValue(next);
      }}
    />
  );
}

import {
  BODY_CHART_NAMES,
  type BodyChartName,
  type BodyMark,
  bodyChart,
  chartRegions,
} from "@samescale/practice/body";
import { useMemo, useState } from "react";
import { Choice } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "./body-outline.module.css";
import { BodyOutline } from "./body-outline.tsx";

const say = words.request.form;

/** The drawings to mark on, and every named place as a list beside them. */
export function MarkChooser({
  marks,
  onMark,
  onTakeLast,
}: {
  readonly marks: readonly BodyMark[];
  readonly onMark: (mark: BodyMark) => void;
  readonly onTakeLast: () => void;
}) {
  const [chart, setChart] = useState<BodyChartName>(marks[0]?.chart ?? "front");
  const regions = useMemo(chartRegions, []);
  return (
    <div className={css.chooser}>
      <Choice
        label={say.chart}
        options={BODY_CHART_NAMES.map((value) => ({ value, label: bodyChart(value).words }))}
        value={chart}
        onChange={setChart}
      />
      <BodyOutline key={chart} chart={chart} marks={marks} onMark={onMark} onTakeLast={onTakeLast} />
      <Choice
        label={say.region}
        options={regions.map((region, i) => ({ value: String(i), label: region.words }))}
        value={null}
        onChange={(value) => {
          const { words: _, ...mark } = regions[Number(value)]!;
          setChart(mark.chart);
          onMark(mark);
        }}
      />
    </div>
  );
}

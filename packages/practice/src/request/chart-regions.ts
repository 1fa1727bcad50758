import { BODY_CHART_NAMES, type BodyMark, sayMark } from "./body-chart.ts";

/** A place that has a name of its own, with the mark that stands for it. */
export interface ChartRegion extends BodyMark {
  readonly words: string;
}

/** So many steps across and down: fine enough that no named place falls between. */
const ACROSS = 60;
const DOWN = 120;

/**
 * Every place that `sayMark` has a word for, chart by chart from the top: for whoever chooses it from a list. The mark
 * lies at the middle of the place, or where the place is nearest to its middle.
 */
export function chartRegions(): readonly ChartRegion[] {
  return BODY_CHART_NAMES.flatMap((chart) => {
    const cells: ChartRegion[] = [];
    for (let j = 0; j < DOWN; j++) {
      for (let i = 0; i < ACROSS; i++) {
        const mark = { chart, x: (i + 0.5) / ACROSS, y: (j + 0.5) / DOWN };
        cells.push({ ...mark, words: sayMark(mark) });
      }
    }
    const named = cells.filter(({ words }) => !words.startsWith("beside the body"));
    return [...Map.groupBy(named, ({ words }) => words).values()].map(middleOf);
  });
}

function middleOf(cells: readonly ChartRegion[]): ChartRegion {
  const x = cells.reduce((sum, cell) => sum + cell.x, 0) / cells.length;
  const y = cells.reduce((sum, cell) => sum + cell.y, 0) / cells.length;
  const far = (cell: ChartRegion) => (cell.x - x) ** 2 + (cell.y - y) ** 2;
  return cells.reduce((best, cell) => (far(cell) < far(best) ? cell : best));
}

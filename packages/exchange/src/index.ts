export { outlineRepeatsFromCsv } from "./csv/outline-repeats-csv.ts";
export { type MarkerScaleSheets, markerScalePdf } from "./pdf/marker-scale-sheet.ts";
export type { Paper } from "./pdf/page.ts";
export { type SeriesReport, type SeriesVisit, seriesReportPdf } from "./pdf/series-report.ts";

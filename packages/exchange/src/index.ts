export type { CardFigure, CardView, ShotCard } from "./card/shot-card.ts";
export { outlineRepeatsFromCsv } from "./csv/outline-repeats-csv.ts";
export { type SelfContainedPage, shotCardPage } from "./page/shot-card-page.ts";
export { type MarkerScaleSheets, markerScalePdf } from "./pdf/marker-scale-sheet.ts";
export type { Paper } from "./pdf/page.ts";
export { type SeriesReport, type SeriesVisit, seriesReportPdf } from "./pdf/series-report.ts";
export { shotCardPdf } from "./pdf/shot-card-pdf.ts";

export { type SeriesReport, type SeriesVisit, seriesReportPdf } from "./pdf/series-report.ts";

export { type BagFile, makeBag } from "./bagit/make-bag.ts";
export type { CardFigure, CardView, ShotCard } from "./card/shot-card.ts";
export { outlineRepeatsFromCsv } from "./csv/outline-repeats-csv.ts";
export { type OutTable, type TableValue, tableCsv } from "./csv/table-csv.ts";
export { type DicomRegion, dicomMeasurements } from "./dicom/measurement-report.ts";
export { type DicomCalibration, dicomPhotograph } from "./dicom/photograph.ts";
export type { DicomStudy, Side } from "./dicom/study.ts";
export { type FhirPicture, fhirBundle } from "./fhir/bundle.ts";
export { jsonLines } from "./jsonl/json-lines.ts";
export type { IncomingOrder } from "./orders/incoming-order.ts";
export { ordersOfFile } from "./orders/orders-of-file.ts";
export { type OrderSource, orderOfWorklistItem } from "./orders/worklist.ts";
export { type SelfContainedPage, shotCardPage } from "./page/shot-card-page.ts";
export {
  changeBetween,
  changeSentence,
  changesSinceFirst,
  type MeasuredVisit,
} from "./pdf/change-words.ts";
export { type ContactFrame, contactSheetPdf } from "./pdf/contact-sheet.ts";
export { type MarkerScaleSheets, markerScalePdf } from "./pdf/marker-scale-sheet.ts";
export type { Paper } from "./pdf/page.ts";
export { type SeriesReport, type SeriesVisit, seriesReportPdf } from "./pdf/series-report.ts";
export { shotCardPdf } from "./pdf/shot-card-pdf.ts";
export { TRUE_SIZE_ROOM, type TrueSizePicture, trueSizePdf, trueSizeSheets } from "./pdf/true-size.ts";
export { fitsZip, storedZip, type ZipFile } from "./zip/stored-zip.ts";

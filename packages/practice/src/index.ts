export { type BagList, bagList } from "./bag/bag-list.ts";
export type { BagVisit } from "./bag/needs.ts";
export {
  NO_CALIBRATED_SCALES,
  type Recorded,
  type ScaleNamed,
  withMeasurement,
  withWithdrawal,
} from "./calibrated-scales/calibrate.ts";
export {
  BOUGHT_KINDS,
  type CalibratedScales,
  type Measurement,
  MOST_TOLERANCE_PERCENT,
  parseCalibratedScales,
} from "./calibrated-scales/record.ts";
export { type ScaleKnown, scaleKnown, type TrueLength } from "./calibrated-scales/true-length.ts";
export { type Caution, cautions } from "./cautions.ts";
export { comesOfAgeOn, daysLater } from "./consent/age.ts";
export { type ConsentAnswer, type Covered, consentFor, type UseWanted } from "./consent/consent-for.ts";
export { RECALLS } from "./consent/recall.ts";
export {
  CONSENT_CAPACITIES,
  CONSENT_SCOPES,
  type ConsentCapacity,
  type ConsentScope,
  isCare,
  isPublication,
  reaches,
  SCOPE_WORDS,
  sayWhyItFallsShort,
} from "./consent/scopes.ts";
export type { Arrival } from "./department/arrivals.ts";
export { type ConsentRules, type ConsentWording, wordingFor } from "./department/consent-rules.ts";
export { type SecondPlace, secondPlaceOf } from "./department/second-place.ts";
export type { Tolerances } from "./department/tolerances.ts";
export { FIGURE_NAMES } from "./figures/catalogue.ts";
export { type ViewFigure, viewFigure } from "./figures/view-figure.ts";
export { type Assignment, assignViews, type FrameEvidence } from "./judge/assign-views.ts";
export type {
  AgainstBaseline,
  ChartSeen,
  FrameReading,
  FrameSeen,
  Observation,
} from "./judge/frame-seen.ts";
export { judgeFrame, type Verdict } from "./judge/judge-frame.ts";
export type { Finding, ViewToJudge } from "./judge/judgement.ts";
export { addItem, freeItemId, type ItemFields, removeItem } from "./kit/add-item.ts";
export { changeItem, type ItemChange } from "./kit/change-item.ts";
export { type FrontOffset, frontOffset } from "./kit/front-offset.ts";
export { type KitGroup, kitGroups } from "./kit/item.ts";
export { itemsOf, type Kit, type PlacedItem } from "./kit/kit.ts";
export { toDoOn, whyUnusable } from "./kit/state.ts";
export { CHECKS } from "./patient-number/check-digits.ts";
export {
  type FittingNumber,
  type PatientNumberFormat,
  patientNumberFormatSchema,
  patientNumberOf,
} from "./patient-number/number-format.ts";
export type { PlannedView } from "./plan/plan-view.ts";
export { type Plan, type PlanWishes, planViews } from "./plan/plan-views.ts";
export type { RefusedView } from "./plan/refusal.ts";
export { editYaml, type YamlChange } from "./read/edit-yaml.ts";
export { fieldWords } from "./read/field-words.ts";
export { type Practice, parsePractice, type ReadPractice, readPractice } from "./read/practice.ts";
export { type PracticeFault, type PracticeText, readYaml } from "./read/yaml-file.ts";
export type { FrameDone, PictureDone } from "./repeat/frame-done.ts";
export { type RepeatPlan, type RepeatRule, type RepeatWishes, repeatPlan } from "./repeat/repeat-plan.ts";
export type { RepeatedView } from "./repeat/repeat-view.ts";
export { type BodyChart, type BodyMark, bodyChart, sayMark } from "./request/body-chart.ts";
export {
  REQUEST_CAUTION_WORDS,
  REQUEST_CAUTIONS,
  REQUEST_SIDES,
  type RequestDetails,
  requestDetailsOf,
  sayParts,
  titleOf,
} from "./request/request-details.ts";
export { type KeptUntil, keptUntil, type RetentionFacts } from "./retention/kept-until.ts";
export type { RetentionRule } from "./retention/rules.ts";
export { type Mark, type Origin, SET_YOUR_OWN, sayOrigin } from "./views/honesty.ts";
export { copyChanges, ownChanges } from "./views/own-changes.ts";
export { MIRRORS, originOf, REFERENCE_LINES, SCALE_KINDS, SIDES, type View } from "./views/view.ts";
export type { ViewSet } from "./views/view-set.ts";
export { sayDistance } from "./words.ts";

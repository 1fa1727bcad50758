export { type Assignment, assignViews, type FrameEvidence } from "./assign-views.ts";
export { type Caution, cautions } from "./cautions.ts";
export { CONSENT_SCOPES, type Consent, type ConsentScope, whyNotCovered } from "./consent.ts";
export { type Finding, type FrameReading, judgeFrame, type Observation, type Verdict } from "./judge.ts";
export { type Plan, type PlannedView, planViews } from "./plan-views.ts";
export { type Practice, parsePractice, type Tolerances } from "./practice.ts";
export type { View, ViewSet } from "./view.ts";

export {
  beginLibrary,
  checkLibraryPlaces,
  type Head,
  headOfText,
  headText,
  type PlacesAnswered,
  type PublicKey,
  type SignedHead,
  signedHeadFile,
  signedHeadOfFile,
} from "@samescale/record";
export { type Emergency, type Opened, openInEmergency } from "./access/emergency.ts";
export { type LettingIn, letIn } from "./access/let-in.ts";
export { lookAt } from "./access/look.ts";
export { type Marking, markSensitive } from "./access/mark-sensitive.ts";
export { type ListedOpening, listOpenings, reviewOpening } from "./access/review.ts";
export { RIGHTS, type Right } from "./access/rights.ts";
export {
  LOOKS_AT_PICTURES,
  maySeeFrame,
  maySeeRequest,
  seenFrames,
  seenRequests,
} from "./access/seeing.ts";
export { SENSITIVE_CATEGORIES, type SensitiveCategory } from "./access/sensitive.ts";
export { type Actor, CLINICAL, PHOTOGRAPHERS, ROLES, type Role } from "./act/actor.ts";
export { type Act, type ActContext, type ActDefinition, defineAct, type Ran } from "./act/define-act.ts";
export { doneOrThrow, type Outcome } from "./act/outcome.ts";
export {
  type BedsideSubject,
  bedsideSubject,
  mayLookAtGhost,
  type ScreenGhost,
  screenGhosts,
} from "./bedside/bedside-of-request.ts";
export { type BedsideChoice, bedsideChoices } from "./bedside/choices.ts";
export { judgePicture, type WatchPlan } from "./bedside/judge-view.ts";
export { type LiveBedside, type LiveFrame, watchLive } from "./bedside/live-bedside.ts";
export { beginBedside, endBedside, sayAtBedside } from "./bedside/session-acts.ts";
export {
  type BedsideOnRecord,
  runningBedsides,
  type WordOnRecord,
  wordsAtBedside,
} from "./bedside/sessions-on-record.ts";
export { type WatchLine, watchFolder } from "./bedside/watch-folder.ts";
export { statedPlan, watchPlanOf } from "./bedside/watch-plan.ts";
export { cardPage } from "./card/card-of-request.ts";
export { type CardWanted, makeCard } from "./card/make-card.ts";
export { type CheckedFrame, type CheckedVisit, checkVisit, keepVerdict } from "./check/check-visit.ts";
export { readingOf } from "./check/reading-of.ts";
export { type ComparedMember, compareSeries, type SeriesMember } from "./compare/compare-series.ts";
export { type Answered, giveConsent, type NewAnswer, refuseConsent } from "./consent/answer.ts";
export { CHILDS_WORDS } from "./consent/answer-details.ts";
export { type CapacityRegained, noteCapacityRegained } from "./consent/capacity.ts";
export { type AnswerOnRecord, type ConsentsOfRequest, consentsOf } from "./consent/consents-of.ts";
export { framesNamed } from "./consent/frames-named.ts";
export type { Giver } from "./consent/giver.ts";
export { namePortrayed, unnamePortrayed } from "./consent/portrayed.ts";
export { type ConsentQuestion, consentQuestions } from "./consent/questions.ts";
export { answerRecall, type Recall, recallsOf } from "./consent/recalls.ts";
export { type ConsentTask, consentTasks } from "./consent/tasks.ts";
export type { WentOut } from "./consent/went-out.ts";
export { withdrawConsent } from "./consent/withdraw.ts";
export { contactSheet } from "./contact-sheet/contact-sheet.ts";
export type * from "./contact-sheet/contact-sheet-types.ts";
export { thumbnail } from "./contact-sheet/thumbnail.ts";
export { type CheckedProof, checkProofs } from "./custody/check-proofs.ts";
export { type FrameOnRecord, frameOnRecord } from "./custody/frame-on-record.ts";
export { type HistoryLine, history } from "./custody/history.ts";
export { type LogLine, type LogPage, type LogWanted, logPage } from "./custody/log-page.ts";
export { type ProofFile, proofFiles } from "./custody/proofs.ts";
export { rotateSigningKey, signatures } from "./custody/sign.ts";
export { type SignedOrWhy, signedOrWhy } from "./custody/signed-or-why.ts";
export { askAuthority, askForTimeStamp, keepTimeStamp } from "./custody/time-stamps.ts";
export { type DayRequest, dayAtDesk, type NextStep } from "./day/day-at-desk.ts";
export type { Missing } from "./day/missing.ts";
export {
  type NewDerivative,
  type StoredDerivative,
  storeMeasurement,
  storeOutline,
  storeReading,
  storeSeries,
  storeVerdict,
} from "./derivatives/store-derivative.ts";
export { type Desk, openDesk } from "./desk.ts";
export { type DepartmentFigures, departmentFigures } from "./figures/department-figures.ts";
export { bringFindingUpToDate } from "./find/bring-up-to-date.ts";
export { type FoundKind, type FoundPage, type FoundRow, find, MOST_COUNTED } from "./find/find.ts";
export { type ComparedFrame, comparedFrames } from "./frames/compared-frames.ts";
export { type FoundFrames, type FrameCard, type FramesWanted, foundFrames } from "./frames/found-frames.ts";
export { type FrameFacts, frameFacts } from "./frames/frame-facts.ts";
export { type HandJudging, judgeByHand, undoJudging, type VerdictBefore } from "./frames/judge-by-hand.ts";
export { cardApartFrom } from "./intake/apart.ts";
export { clockAsBooked, clockFromFrame, type FoundCorrection } from "./intake/clock-from-frame.ts";
export { type ClockCorrection, correctClock } from "./intake/correct-clock.ts";
export { labelCodeText, numberInCode } from "./intake/label-code.ts";
export { intakeOnRecord, type ListedIntake, listIntakes } from "./intake/list-intakes.ts";
export type { TakeInProgress } from "./intake/progress.ts";
export { type SuspectClock, suspectClocks } from "./intake/suspect-clocks.ts";
export { type TakeIn, takeIn } from "./intake/take-in.ts";
export type { CardFault, FileLine, SummaryLine, TakeInLine, TakenFile } from "./intake/take-in-lines.ts";
export { type BackupMade, type BackupProgress, type BackupSecret, backUp, backupsAt } from "./keep/backup.ts";
export { logLines } from "./keep/export-log.ts";
export { liftHold, listHolds, placeHold } from "./keep/holds/holds.ts";
export { type KnownBackup, knownBackups, plainBackupFolder } from "./keep/known-backups.ts";
export { type RestoreProgress, restore } from "./keep/restore.ts";
export { type Destroyed, destroyPictures, finishDestroying } from "./keep/retention/destroy.ts";
export {
  type RetentionPractice,
  type RetentionProposal,
  retentionProposals,
} from "./keep/retention/proposals.ts";
export { takeBackFrames, trashFrames } from "./keep/trash/trash.ts";
export { undoTrash } from "./keep/trash/undo.ts";
export { type Fault, type VerifyCounts, type VerifyOptions, verify } from "./keep/verify.ts";
export { type ActsSince, actsSince, lastActAt } from "./look/acts-since.ts";
export { framesOfVisit, type LookedAtFrame } from "./look/frames-of-visit.ts";
export { isEmptyLibrary, sizeOfLibrary } from "./look/is-empty.ts";
export { lastPhotographed } from "./look/last-photographed.ts";
export { type OriginalToLookAt, originalToLookAt } from "./look/original-to-look-at.ts";
export { type NamedPatient, patientsByNumber } from "./look/patient-by-number.ts";
export { planOfRequest } from "./look/plan-of-request.ts";
export { requestByCode } from "./look/request-by-code.ts";
export {
  type FrameAtMeasure,
  frameAtMeasure,
  type OutlineOnRecord,
  outlinesOnRecord,
} from "./measure/frame-at-measure.ts";
export { type Clicks, type MeasuredFrame, measureFrame, measureRegions } from "./measure/measure-frame.ts";
export {
  type FrameReadByHand,
  keepReadingByHand,
  readByHand,
  type ScaleSaid,
} from "./measure/reading-by-hand.ts";
export { addPatient, type NewPatient } from "./patients/add-patient.ts";
export { type NewPassword, setPassword } from "./people/change-password.ts";
export { type Door, openDoor, type SignedIn, type SigningIn } from "./people/door.ts";
export { addFirstAccount } from "./people/first-account.ts";
export { type ListedPerson, listPeople, ownLogin } from "./people/list-people.ts";
export { type ListedSession, listSessions } from "./people/list-sessions.ts";
export {
  type AccountChange,
  addAccount,
  changeAccount,
  endAccount,
  type Leaving,
} from "./people/look-after-accounts.ts";
export type { NewAccount } from "./people/new-person.ts";
export { type Revoking, revokeSessions } from "./people/sessions.ts";
export { hasAccounts } from "./people/standing.ts";
export { actorOfThisMachine } from "./people/this-machine.ts";
export type { Consequences, ReleasedBefore, Stale } from "./placing/consequences.ts";
export { type FramesToPlace, type Placed, placeFrames } from "./placing/place-frames.ts";
export { type PlaceForFrames, placesForFrames } from "./placing/places-for-frames.ts";
export { type PlacingOnRecord, placingsOnRecord } from "./placing/placings-on-record.ts";
export { type PlacingToUndo, type Undone, undoPlacing } from "./placing/undo-placing.ts";
export { type Opener, type WaitingCard, type WaitingGroup, waitingCards } from "./placing/waiting-cards.ts";
export { type WaitingFrame, waitingFrames } from "./placing/waiting-frames.ts";
export { bagOfDay } from "./plan/bag-of-day.ts";
export { planRequest } from "./plan/plan-request.ts";
export { type NewPlan, savePlan } from "./plan/save-plan.ts";
export { changeKit } from "./practice/change-kit.ts";
export {
  changePractice,
  type PracticeChange,
  type PracticeChanged,
  takeBackPracticeChange,
} from "./practice/change-practice.ts";
export { type EarlierVersion, earlierVersions } from "./practice/earlier-versions.ts";
export { earlierText, type PracticeFile, practiceFile } from "./practice/practice-file.ts";
export {
  calibrationsOf,
  checkPracticeFolder,
  dueOfScales,
  isStartingPractice,
  practiceFilesOf,
  practiceFolderFor,
  readPracticeFolder,
  startPractice,
} from "./practice/practice-folder.ts";
export { checkOneRelease } from "./release/check-one-release.ts";
export { checkReleased, type ReleasedCheck } from "./release/check-released.ts";
export { type FetchedRelease, fetchReleased } from "./release/fetch-released.ts";
export type * from "./release/form.ts";
export { RELEASE_FORMS } from "./release/forms/all-forms.ts";
export { contactSheetForm } from "./release/forms/contact-sheet.ts";
export { dicomForm } from "./release/forms/dicom.ts";
export { evidenceForm } from "./release/forms/evidence/evidence.ts";
export { fhirForm } from "./release/forms/fhir.ts";
export { picturesForm } from "./release/forms/pictures.ts";
export { reportForm } from "./release/forms/report.ts";
export { tableForm } from "./release/forms/table.ts";
export { trueSizeForm } from "./release/forms/true-size.ts";
export { type ListedRelease, listReleases, type ReleaseFilter } from "./release/list-releases.ts";
export { confirmMask, type MaskAnswers } from "./release/masks/confirm.ts";
export { MASK_ANSWERS } from "./release/masks/mask-in-force.ts";
export { type ProposedMask, proposeMask } from "./release/masks/propose.ts";
export { MASK_QUESTIONS } from "./release/masks/questions.ts";
export { wouldBeRefused } from "./release/may-leave.ts";
export { type PreviewedPicture, previewOutgoing } from "./release/outgoing/preview-outgoing.ts";
export { type PictureOfRequest, picturesOfRequest } from "./release/pictures-of-request.ts";
export type { Receipt } from "./release/receipt.ts";
export {
  type Released,
  type ReleaseOutcome,
  releaseOut,
  type TriedRelease,
  tryRelease,
} from "./release/release-out.ts";
export { releasedFolderOf } from "./release/released-folder.ts";
export { type KnownRelease, releasesOf } from "./release/releases.ts";
export { type RequestWithPictures, requestsWithPictures } from "./release/requests-with-pictures.ts";
export { addResearchProject, researchProjects } from "./release/research-project.ts";
export { SCOPE_RULES, sayRules } from "./release/scope-rules.ts";
export type { Refusal, ReleaseWanted } from "./release/wanted.ts";
export { type GhostFiles, makeGhosts } from "./repeat/make-ghosts.ts";
export { type Repeat, repeatRequest } from "./repeat/repeat-request.ts";
export {
  outlineAgain,
  type PictureToRepeat,
  pictureStillToRepeat,
  pictureToRepeat,
} from "./repeats/blind-repeat.ts";
export { departmentRepeats } from "./repeats/kept-outlines.ts";
export { type RepeatsOfTable, repeatsOfTable } from "./repeats/repeats-of-table.ts";
export { reportSeries, type SeriesReportWanted } from "./report/report-series.ts";
export { addRequest } from "./requests/add-request.ts";
export {
  cancelRequest,
  changeRequest,
  closeRequest,
  type RequestChange,
  type RequestEnd,
  reopenRequest,
} from "./requests/change-request.ts";
export {
  type ListedRequest,
  listRequests,
  requestAsked,
  requestsOfCodes,
  type WholeRequest,
} from "./requests/list-requests.ts";
export { type NewRequest, type PatientSaid, PRIORITIES, type Priority } from "./requests/new-request.ts";
export { type PatientStanding, patientStanding } from "./requests/patient-standing.ts";
export { type FieldChange, type RequestEntry, requestHistory } from "./requests/request-history.ts";
export { type OrderLine, takeOrders } from "./requests/take-orders.ts";
export { changeCalibratedScales, readCalibratedScales } from "./scales/calibration-file.ts";
export { printScales, type ScalesToPrint, scalesPdf } from "./scales/print-scales.ts";
export { type ScaleToMeasure, scaleToMeasure } from "./scales/scale-to-measure.ts";
export { compareView, type ViewToCompare } from "./series/compare-view.ts";
export { type ReportWanted, releaseReport } from "./series/report-view.ts";
export { type SeriesRequest, seriesRequests } from "./series/series-requests.ts";
export { type SeriesPicture, seriesPicture, seriesWindow, type WindowShown } from "./series/series-window.ts";
export { type SeriesVisitShown, type WholeSeries, wholeSeries } from "./series/whole-series.ts";
export { type NewVisit, openVisit } from "./visits/open-visit.ts";
export type * from "./watch/folder-event.ts";
export { type FollowOptions, followFolder } from "./watch/follow-folder.ts";
export { type JudgedEvent, type JudgeFolderOptions, judgeFolder } from "./watch/judge-folder.ts";

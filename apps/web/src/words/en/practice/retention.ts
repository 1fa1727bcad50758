/** Words of retention, holds, what is put aside. */
export const practiceRetention = {
  rules: "Rules",
  rulesSays:
    "Of all rules that fit, the one that keeps longest decides. What a rule would have to know and does not (a date of birth) keeps it. Nothing is ever destroyed by itself.",
  noRules: "No rule: nothing is ever proposed, and nothing can be destroyed.",
  changeRules: "Change the rules",
  kept: (years: number | "for-ever", after: "last-visit" | "majority") =>
    years === "for-ever"
      ? "kept for ever"
      : `${years} years after ${after === "majority" ? "coming of age" : "the last visit"}`,
  of: {
    clinical: "clinical",
    "non-clinical": "non-clinical",
    child: "of children",
    adult: "of adults",
    evidence: "evidence",
    notEvidence: "no evidence",
    all: "everything",
    purpose: (words: readonly string[]) => `purpose holds ${words.join(" or ")}`,
  },
  majority: (years: number) => `Of age at ${years}.`,
  proposals: "Over their time",
  on: "On the day",
  proposalsSays: "Proposals and nothing more: a person decides.",
  noProposals: (day: string) => `Nothing is over its time on ${day}.`,
  originals: (n: number, bytes: number) =>
    `${n} ${n === 1 ? "original" : "originals"}, ${(bytes / 1e6).toFixed(1)} MB`,
  against: "Speaks against it:",
  destroy: "Destroy",
  destroyOf: (code: string) => `Destroy the pictures of ${code}`,
  destroySays: (originals: string) =>
    `${originals} and every picture made from them go from this library. Nobody brings them back: there is no undo. The rows and the log stay and tell of it.`,
  destroyOthers:
    "Second copies, backups and what went out are not reached from here: afterwards you are told what is left to do.",
  destroyReason: "Reason",
  destroyType: (code: string) => `To go on, type ${code}`,
  destroyNow: "Destroy for good",
  destroyed: "Destroyed. What is left to do by hand:",
  nothingLeft: "Nothing is left to do elsewhere.",
  onlyLead: "Destroying is for the lead, in a library with accounts.",
  holds: "Legal holds",
  holdsSays:
    "Nothing that a hold covers is destroyed, whatever a rule says. Photographers and the lead place one; the lead lifts it.",
  noHolds: "Nothing is held.",
  placeHold: "Place a hold",
  code: "Code of the request",
  holdBecause: "Who asked for it, in which matter",
  held: (code: string) => `${code} is held.`,
  since: (day: string, by: string) => `since ${day}, placed by ${by}`,
  lift: "Lift",
  liftOf: (what: string) => `Lift the hold on ${what}`,
  liftBecause: "Who released it",
  lifted: "The hold was lifted. Others on the same thing stay.",
  trash: "Put aside",
  trashSays: "Frames that no list shows and that leave nowhere. Nothing of them is removed.",
  noTrash: "No frame is put aside.",
  unplaced: "unplaced",
  takeBack: "Take back",
  takeBackOf: (name: string) => `Take back ${name}`,
  takenBack: "The frame was taken back.",
  takeBackReason: "taken back in Practice",
};

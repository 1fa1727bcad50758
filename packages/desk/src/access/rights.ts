import { CLINICAL, PHOTOGRAPHERS, ROLES, type Role } from "../act/actor.ts";

/** One act: what it is in words, and in which roles it may be done. */
export interface Right {
  readonly does: string;
  readonly may: readonly Role[];
}

const LEAD: readonly Role[] = ["lead"];
const ADMINISTRATOR: readonly Role[] = ["administrator"];
const REVIEWERS: readonly Role[] = ["lead", "auditor"];
const ASKERS: readonly Role[] = [...PHOTOGRAPHERS, "requester"];

/**
 * The least rights: every act of the desk and who may do it. Written beside the acts and not read by them, so that a
 * right that changes has to be changed in two places, and a test compares both (`test/access/rights.test.ts`).
 */
export const RIGHTS: Readonly<Record<string, Right>> = {
  "patient.add": { does: "add a patient", may: PHOTOGRAPHERS },
  "request.add": { does: "ask for pictures", may: ASKERS },
  "request.take-order": { does: "take an order in from another system", may: PHOTOGRAPHERS },
  "request.change": { does: "change a request", may: PHOTOGRAPHERS },
  "request.close": { does: "close a request that is done", may: PHOTOGRAPHERS },
  "request.cancel": { does: "cancel a request", may: PHOTOGRAPHERS },
  "request.reopen": { does: "open a request again", may: PHOTOGRAPHERS },
  "plan.save": { does: "plan a request", may: PHOTOGRAPHERS },
  "card.make": { does: "make a shot card", may: PHOTOGRAPHERS },
  "ghosts.make": { does: "draw ghosts of a baseline", may: PHOTOGRAPHERS },
  "bedside.begin": { does: "begin a session at the bedside", may: PHOTOGRAPHERS },
  "bedside.end": { does: "end it", may: PHOTOGRAPHERS },
  "bedside.say": { does: "decide otherwise than a frame was judged there", may: PHOTOGRAPHERS },
  "visit.open": { does: "open a visit", may: PHOTOGRAPHERS },

  "intake.begin": { does: "begin to take a card in", may: PHOTOGRAPHERS },
  "file.store": { does: "keep a camera file", may: PHOTOGRAPHERS },
  "card-file.note": { does: "note what else lay on a card", may: PHOTOGRAPHERS },
  "intake.finish": { does: "group a card's files into frames", may: PHOTOGRAPHERS },
  "copy.store": { does: "keep a second copy of a camera file", may: PHOTOGRAPHERS },
  "frame.place": { does: "say whose frames these are", may: PHOTOGRAPHERS },
  "frame.undo": { does: "take that back", may: PHOTOGRAPHERS },
  "clock.correct": { does: "put a camera's clock right", may: PHOTOGRAPHERS },

  "reading.store": { does: "keep a reading of a scale", may: PHOTOGRAPHERS },
  "outline.store": { does: "keep an outline", may: PHOTOGRAPHERS },
  "measurement.store": { does: "keep a measurement", may: PHOTOGRAPHERS },
  "series.store": { does: "keep a comparison", may: PHOTOGRAPHERS },
  "verdict.store": { does: "judge a frame", may: PHOTOGRAPHERS },
  "frame.judge": { does: "say of a frame: keep, make again, a note", may: PHOTOGRAPHERS },
  "frame.judge-undo": { does: "take that back", may: PHOTOGRAPHERS },

  "consent.give": { does: "write down a consent", may: PHOTOGRAPHERS },
  "consent.refuse": { does: "write down a refusal", may: PHOTOGRAPHERS },
  "consent.withdraw": { does: "write down a withdrawal", may: PHOTOGRAPHERS },
  "capacity.regained": { does: "note that a patient can decide again", may: PHOTOGRAPHERS },
  "consent.portrayed": { does: "note who else is portrayed", may: PHOTOGRAPHERS },
  "consent.portrayed-void": { does: "take such a note back", may: PHOTOGRAPHERS },

  "mask.propose": { does: "look for what must not be seen", may: PHOTOGRAPHERS },
  "mask.confirm": { does: "confirm what must not be seen", may: PHOTOGRAPHERS },
  "research.add": { does: "add a research project", may: LEAD },
  "release.out": { does: "let pictures and documents leave", may: PHOTOGRAPHERS },
  "release.hand-over": { does: "give what leaves its names", may: PHOTOGRAPHERS },
  "release.take-back": { does: "take back what was not handed over", may: PHOTOGRAPHERS },
  "release.fetch": { does: "fetch what was released (a requester: what went to the requester)", may: ASKERS },
  "release.answered": { does: "note what a recipient answered to a recall", may: PHOTOGRAPHERS },

  "practice.change": { does: "change the practice's files", may: PHOTOGRAPHERS },
  "backup.make": { does: "make a backup", may: PHOTOGRAPHERS },
  "frame.trash": { does: "put a frame aside", may: PHOTOGRAPHERS },
  "frame.take-back": { does: "take back a frame that was put aside", may: PHOTOGRAPHERS },
  "hold.place": { does: "place a legal hold", may: PHOTOGRAPHERS },
  "hold.lift": { does: "lift a legal hold", may: LEAD },
  "original.destroy": { does: "destroy pictures whose time is over", may: LEAD },

  "time-stamp.keep": { does: "keep an authority's time stamp over the log", may: PHOTOGRAPHERS },

  "access.mark": { does: "mark as sensitive, clear that", may: PHOTOGRAPHERS },
  "access.let-in": { does: "name who sees a request", may: PHOTOGRAPHERS },
  "access.emergency": { does: "open what is hidden, in an emergency", may: CLINICAL },
  "access.review": { does: "look into such an opening", may: REVIEWERS },
  "look.sensitive": { does: "look at a sensitive picture", may: CLINICAL },

  "account.first": { does: "make the first account", may: PHOTOGRAPHERS },
  "account.add": { does: "add an account", may: ADMINISTRATOR },
  "account.change": { does: "change a name or a role", may: ADMINISTRATOR },
  "account.end": { does: "end an account", may: ADMINISTRATOR },
  "account.password": { does: "set one's own password (an administrator: anybody's)", may: ROLES },
  "session.begin": { does: "sign in", may: ROLES },
  "session.end": { does: "sign out", may: ROLES },
  "session.renew": { does: "go on under a new token", may: ROLES },
  "session.revoke": { does: "end one's own sessions (an administrator: anybody's)", may: ROLES },
};

/** The same as a table for people: `docs/people.md` carries it. */
export function rightsTable(): string {
  const row = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [
    row(["what", "in the log", ...ROLES]),
    row(Array.from({ length: ROLES.length + 2 }, () => "---")),
    ...Object.entries(RIGHTS).map(([name, { does, may }]) =>
      row([does, `\`${name}\``, ...ROLES.map((role) => (may.includes(role) ? "yes" : ""))]),
    ),
  ].join("\n");
}

import type { Command } from "commander";

/** What the module of a command exports. `exit` sets the exit status when it is not 0. */
export interface CommandModule {
  configure(command: Command, exit: (code: number) => void): void;
}

/** Every command, in the order of the job. Modules are loaded only when asked for. */
export const commands: Readonly<Record<string, { summary: string; load: () => Promise<CommandModule> }>> = {
  optics: {
    summary: "field, distances, depth of field, aperture and flash for a reproduction ratio",
    load: () => import("./commands/optics.ts"),
  },
  info: { summary: "what a photograph's file says of itself", load: () => import("./commands/info.ts") },
  practice: {
    summary: "the department's view sets, rules and kit as files: begin, check, show",
    load: () => import("./commands/practice.ts"),
  },
  kit: {
    summary: "the register of what is photographed with, and its state",
    load: () => import("./commands/kit.ts"),
  },
  request: {
    summary: "what is asked for: filled in by hand, or orders from other systems",
    load: () => import("./commands/request.ts"),
  },
  plan: {
    summary: "a view set with the numbers for the kit and the place",
    load: () => import("./commands/plan.ts"),
  },
  card: {
    summary: "the plan of a request as a shot card, on paper or a phone",
    load: () => import("./commands/card.ts"),
  },
  repeat: {
    summary: "the next visit's plan from what was really done, with ghosts of the baseline",
    load: () => import("./commands/repeat.ts"),
  },
  bag: { summary: "what to pack for a day", load: () => import("./commands/bag.ts") },
  watch: {
    summary: "judge frames as they arrive in a folder: keep, repeat, or what to do",
    load: () => import("./commands/watch.ts"),
  },
  label: { summary: "codes on labels in a photograph", load: () => import("./commands/label.ts") },
  scale: { summary: "read the scale in a photograph", load: () => import("./commands/scale.ts") },
  "print-scale": {
    summary: "our own scales as a page to print at true size",
    load: () => import("./commands/print-scale.ts"),
  },
  "calibrate-scale": {
    summary: "record what a scale measured, or that it is withdrawn",
    load: () => import("./commands/calibrate-scale.ts"),
  },
  outline: { summary: "propose an outline from a few clicks", load: () => import("./commands/outline.ts") },
  measure: { summary: "measure outlined regions", load: () => import("./commands/measure.ts") },
  repeats: {
    summary: "how well outlines repeat, from the same things outlined again",
    load: () => import("./commands/repeats.ts"),
  },
  align: { summary: "lay follow-ups over a baseline", load: () => import("./commands/align.ts") },
  colour: {
    summary: "find the colour chart and correct the colour",
    load: () => import("./commands/colour.ts"),
  },
  library: {
    summary: "where a department's library is kept: start one on servers, check them",
    load: () => import("./commands/library.ts"),
  },
  "take-in": { summary: "take camera cards into a library", load: () => import("./commands/take-in.ts") },
  place: {
    summary: "whose a frame is, said by a person: what waits, give, move, take back",
    load: () => import("./commands/place.ts"),
  },
  clock: {
    summary: "a camera's clock that ran wrong, put right beside what it wrote",
    load: () => import("./commands/clock.ts"),
  },
  verify: {
    summary: "prove that nothing in a library was lost or changed",
    load: () => import("./commands/verify.ts"),
  },
  custody: {
    summary: "the custody log's signed heads, its proofs, and what happened to a picture",
    load: () => import("./commands/custody.ts"),
  },
  consent: {
    summary: "who may use which pictures for what: given, refused, withdrawn, to be asked again",
    load: () => import("./commands/consent.ts"),
  },
  mask: {
    summary: "what must not be seen in a picture that leaves: looked for, asked, confirmed by a person",
    load: () => import("./commands/mask.ts"),
  },
  release: {
    summary: "the one way out: pictures and documents, as far as consent reaches, with a receipt",
    load: () => import("./commands/release.ts"),
  },
  people: { summary: "accounts and sessions: who works here", load: () => import("./commands/people.ts") },
  access: {
    summary: "who sees what is sensitive; emergencies and their review",
    load: () => import("./commands/access.ts"),
  },
  find: {
    summary: "patients, requests and frames by words, days and facets",
    load: () => import("./commands/find.ts"),
  },
  trash: { summary: "put frames aside, take them back, undo", load: () => import("./commands/trash.ts") },
  backup: {
    summary: "back a library up while it is in use, encrypted",
    load: () => import("./commands/backup.ts"),
  },
  restore: {
    summary: "put a library back from its backup, and prove it",
    load: () => import("./commands/restore.ts"),
  },
  retention: {
    summary: "what is over its time; destroying it, by a person",
    load: () => import("./commands/retention.ts"),
  },
  hold: {
    summary: "legal holds: nothing under one is destroyed",
    load: () => import("./commands/hold.ts"),
  },
  demo: { summary: "the whole job on an invented department", load: () => import("./commands/demo.ts") },
  serve: { summary: "the pages over a library", load: () => import("./commands/serve.ts") },
};

import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { type CardFile, writeCardFile } from "./intake-rows.ts";

/** Keeps in mind what lay on the card and was not taken in, and why. */
export const noteFile = defineAct<{ readonly intakeId: string; readonly file: CardFile }, null>({
  name: "card-file.note",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ intakeId, file }, context) {
    const wrote = await writeCardFile(context, intakeId, file);
    const { path, state, reason } = file;
    const deed = { act: "card-file.note", subject: `intake/${intakeId}`, details: { path, state, reason } };
    return { value: null, deed: wrote ? deed : null };
  },
});

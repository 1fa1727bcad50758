import { type ContactFrame, contactSheetPdf } from "@samescale/exchange";
import { CONSENT_SCOPES } from "@samescale/practice";
import { CannotLeave } from "../cannot-leave.ts";
import type { OutgoingFrame, ReleaseForm } from "../form.ts";

/** All frames small, under the names of their views. One that may not be seen keeps its place, empty. */
export const contactSheetForm: ReleaseForm = {
  name: "contact-sheet",
  scopes: CONSENT_SCOPES,
  async *files({ frames, request, mark, now }) {
    const shown: ContactFrame[] = [];
    for (const frame of frames) shown.push(await tile(frame));
    const bytes = await contactSheetPdf({
      title: request.title ?? "Photographs",
      subject: request.code ?? mark,
      madeAt: new Date(now),
      frames: shown,
    });
    yield { name: `${mark}-contact-sheet.pdf`, bytes, frameId: null, original: null };
  },
};

async function tile(frame: OutgoingFrame): Promise<ContactFrame> {
  const name = frame.view?.name ?? frame.originalName ?? frame.name;
  try {
    return { jpeg: (await frame.picture()).jpeg, name, note: frame.day ?? "" };
  } catch (thrown) {
    if (!(thrown instanceof CannotLeave)) throw thrown;
    return { jpeg: null, name, note: "not shown" };
  }
}

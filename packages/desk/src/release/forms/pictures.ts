import { CONSENT_SCOPES } from "@samescale/practice";
import type { ReleaseForm } from "../form.ts";

/** The pictures themselves, one JPEG each; in evidence the camera's own files are another form. */
export const picturesForm: ReleaseForm = {
  name: "pictures",
  scopes: CONSENT_SCOPES.filter((scope) => scope !== "evidence"),
  async *files({ frames }) {
    for (const frame of frames) {
      const { jpeg } = await frame.picture();
      yield { name: `${frame.name}.jpg`, bytes: jpeg, frameId: frame.frameId, original: frame.original };
    }
  },
};

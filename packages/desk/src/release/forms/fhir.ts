import { type FhirPicture, fhirBundle } from "@samescale/exchange";
import { SCOPE_WORDS } from "@samescale/practice";
import type { OutgoingFrame, ReleaseForm } from "../form.ts";
import { deidentifies } from "../scope-rules.ts";
import { METHOD_WORDS, shownPart } from "./shown.ts";

/** The pictures, and one FHIR R4 bundle that names them with what was measured (docs/formats.md). */
export const fhirForm: ReleaseForm = {
  name: "fhir",
  scopes: ["health-record", "requester", "research"],
  async *files(context) {
    const { releaseId, mark, now, purpose, patient, pseudonym, request, rules, actor, consents } = context;
    const isHidden = deidentifies(rules);
    const pictures: FhirPicture[] = [];
    for (const frame of context.frames) {
      const { jpeg, widthPx, heightPx } = await frame.picture();
      const fileName = `${frame.name}.jpg`;
      yield { name: fileName, bytes: jpeg, frameId: frame.frameId, original: frame.original };
      pictures.push({
        id: frame.name,
        fileName,
        bytes: jpeg,
        widthPx,
        heightPx,
        day: frame.day,
        ...shownPart(frame, context),
        view: frame.view?.name ?? null,
        cameraName: frame.camera?.model ?? null,
        original: isHidden ? null : frame.original,
        regions: regionsOf(frame),
      });
    }
    const bundle = fhirBundle({
      id: releaseId,
      madeAt: now,
      releasedBy: isHidden ? null : actor.name,
      purpose,
      patient,
      pseudonym,
      request: request.id === null ? null : { ...request, id: request.id },
      pictures,
      consents: isHidden
        ? []
        : consents.map((consent) => ({ ...consent, scope: SCOPE_WORDS[consent.scope] })),
    });
    const bytes = Buffer.from(`${JSON.stringify(bundle, null, 1)}\n`);
    yield { name: `${mark}-bundle.json`, bytes, frameId: null, original: null };
  },
};

function regionsOf({ measurement }: OutgoingFrame): FhirPicture["regions"] {
  if (measurement === null) return [];
  const { regions, method } = measurement.body;
  return regions.map((sizes, i) => ({ ...sizes, label: `region ${i + 1}`, method: METHOD_WORDS[method] }));
}

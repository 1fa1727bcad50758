/**
 * The usual cautions, shown where the work can hurt someone. They remind; local policy and the clinician in charge
 * decide. Common practice, no source, except where a source is named.
 */
export const cautions = {
  "flash-near-eyes":
    "Flash near eyes: ask the clinician first, warn before firing, prefer diffused light; mind recent eye surgery and dilated pupils.",
  newborn:
    "Newborn or preterm: ask before using flash; prefer continuous, diffused light; keep the child warm.",
  photosensitive:
    "Flash and seizures or light-sensitive disease or medicines: ask the patient; single flashes only, no bursts, no pre-flash trains.",
  infection:
    "Infection control: single-use scales for each patient; wipe camera, mirror and hard scales by local rules; nothing touches the wound.",
  "printed-scale":
    "Infection control: a paper scale is for one patient only; one that can be wiped is cleaned between patients by local rules.",
  dignity:
    "Dignity: smallest area necessary, chaperone offered and recorded, nobody else in frame or in earshot.",
  capacity:
    "Consent and capacity: who consented, to which use, and who assessed capacity is recorded; consent may be withdrawn at any time.",
  "eyes-covered": "Covering the eyes does not make a picture anonymous.",
  measuring:
    "Not a diagnostic device. Measurements depend on the scale, camera position and outline and carry the stated uncertainty. Follow local policy. A licensed clinician decides.",
  healing:
    "Area change is a statistic from groups of patients. It does not diagnose; a slower or faster change in this patient needs a clinician's judgement.",
} as const;

export type Caution = keyof typeof cautions;

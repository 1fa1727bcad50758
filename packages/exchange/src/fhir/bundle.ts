import { createHash } from "node:crypto";
import type { Measured } from "@samescale/geometry";
import { bodyPartCode } from "../dicom/body-parts.ts";
import { BILATERAL, type Code, LEFT, RIGHT, sct } from "../dicom/codes.ts";
import type { Side } from "../dicom/study.ts";
import { uuidOf } from "../dicom/uid.ts";
import type { Bundle, BundleEntry, CodeableConcept, Quantity, Reference, Resource } from "./resources.ts";

/** What leaves as FHIR; nothing here is looked up, everything was asked for before. */
export interface FhirRelease {
  /** Names the bundle for ever; resources are named by it and what they are of. */
  readonly id: string;
  /** UTC, ISO 8601. */
  readonly madeAt: string;
  /** Who lets it out; null where that must not be known. */
  readonly releasedBy: string | null;
  readonly purpose: string;
  /** Null: de-identified; `pseudonym` may stand for the patient. */
  readonly patient: {
    readonly id: string;
    readonly number: string;
    readonly authority: string;
    readonly name: string;
    /** The parts of the name, where they are known apart. */
    readonly family?: string;
    readonly given?: string;
    readonly birthDate: string | null;
  } | null;
  readonly pseudonym: string | null;
  readonly request: {
    readonly id: string;
    readonly code: string | null;
    readonly title: string | null;
  } | null;
  readonly pictures: readonly FhirPicture[];
  readonly consents: readonly FhirConsent[];
}

export interface FhirPicture {
  readonly id: string;
  /** The picture's own file, beside the bundle. */
  readonly fileName: string;
  readonly bytes: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** YYYY-MM-DD: the camera knows no zone, and FHIR takes no time of day without one. */
  readonly day: string | null;
  readonly part: string | null;
  readonly side: Side;
  readonly view: string | null;
  readonly cameraName: string | null;
  /** SHA-256 of the original; null where it must not be known. */
  readonly original: string | null;
  readonly regions: readonly FhirRegion[];
}

export interface FhirRegion {
  readonly label: string;
  readonly areaMm2: Measured;
  readonly lengthMm: Measured;
  readonly widthMm: Measured;
  readonly perimeterMm: Measured;
  readonly method: string;
}

export interface FhirConsent {
  readonly id: string;
  /** In words: "the requester". */
  readonly scope: string;
  readonly givenAt: string;
  readonly until: string | null;
}

/**
 * Pictures, sizes with their intervals and what they rest on, as one collection: what a server makes of it is the
 * hospital's decision. Resources refer to each other by URN; no extension is needed to read it.
 * @source FhirR4
 */
export function fhirBundle(release: FhirRelease): Bundle {
  const urn = (...names: string[]) => `urn:uuid:${uuidOf(release.id, ...names)}`;
  const patient = subjectOf(release, urn);
  const request = release.request === null ? null : urn("request", release.request.id);
  const sites = sitesOf(release);
  const siteUrn = (site: Site) => urn("site", site.part, site.side ?? "");
  const entries: BundleEntry[] = [];
  const add = (fullUrl: string, resource: Resource) => entries.push({ fullUrl, resource });

  if (release.patient !== null) {
    const { id, number, authority, name, family, given, birthDate } = release.patient;
    add(urn("patient", id), {
      resourceType: "Patient",
      identifier: [{ value: number, assigner: { display: authority } }],
      name: [
        {
          text: name,
          ...(family !== undefined && { family }),
          ...(given !== undefined && { given: [given] }),
        },
      ],
      ...(birthDate !== null && { birthDate }),
    });
  }
  if (release.request !== null && request !== null) {
    add(request, {
      resourceType: "ServiceRequest",
      status: "completed",
      intent: "order",
      ...(release.request.code !== null && { identifier: [{ value: release.request.code }] }),
      code: { text: "Clinical photography" },
      subject: patient,
      ...(release.request.title !== null && { reasonCode: [{ text: release.request.title }] }),
      ...(sites.length > 0 && { bodySite: sites.map(siteConcept) }),
    });
  }
  for (const site of sites) {
    const qualifier = sideCode(site.side);
    add(siteUrn(site), {
      resourceType: "BodyStructure",
      location: concept(bodyPartCode(site.part), site.part),
      ...(qualifier && { locationQualifier: [concept(qualifier)] }),
      patient,
    });
  }
  const targets: Reference[] = [];
  for (const picture of release.pictures) {
    const media = urn("picture", picture.id);
    add(media, mediaOf(picture, patient, request));
    targets.push({ reference: media });
    for (const [i, region] of picture.regions.entries()) {
      const site = picture.part === null ? null : siteUrn({ part: picture.part, side: picture.side });
      for (const measured of sizesOf(region)) {
        const observation = urn("size", picture.id, String(i), measured.name);
        add(observation, observationOf(measured, region, picture, { patient, media, request, site }));
        targets.push({ reference: observation });
      }
    }
  }
  for (const { id, scope, givenAt, until } of release.consents) {
    add(urn("consent", id), {
      resourceType: "Consent",
      status: "active",
      scope: terminology("consentscope", "patient-privacy", "Privacy Consent"),
      category: [{ coding: [{ system: "http://loinc.org", code: "59284-0", display: "Consent Document" }] }],
      ...(release.patient !== null && { patient }),
      dateTime: givenAt,
      policyRule: { text: `Use of photographs for ${scope}` },
      provision: {
        type: "permit",
        period: { start: givenAt, ...(until !== null && { end: until }) },
        data: release.pictures.map(({ id: picture }) => ({
          meaning: "instance",
          reference: { reference: urn("picture", picture) },
        })),
      },
    });
  }
  add(urn("provenance"), {
    resourceType: "Provenance",
    target: targets,
    recorded: release.madeAt,
    activity: { text: `Passed on for ${release.purpose}` },
    agent: [{ who: { display: release.releasedBy ?? "Samescale" } }],
    entity: release.pictures.flatMap(({ original }) =>
      original === null
        ? []
        : [
            {
              role: "source" as const,
              what: { identifier: { value: `sha256:${original}` }, display: "original" },
            },
          ],
    ),
  });
  return { resourceType: "Bundle", type: "collection", timestamp: release.madeAt, entry: entries };
}

type UrnOf = (...names: string[]) => string;

/** A person, a code that stands for one, or nobody that may be named: FHIR wants a subject all the same. */
function subjectOf({ patient, pseudonym }: FhirRelease, urn: UrnOf): Reference {
  if (patient !== null) return { reference: urn("patient", patient.id) };
  return pseudonym === null ? { display: "De-identified" } : { identifier: { value: pseudonym } };
}

function mediaOf(picture: FhirPicture, subject: Reference, request: string | null): Resource {
  return {
    resourceType: "Media",
    status: "completed",
    ...(request !== null && { basedOn: [{ reference: request }] }),
    type: terminology("media-type", "image", "Image"),
    modality: { coding: [{ system: DCM, code: "XC", display: "External-camera Photography" }] },
    ...(picture.view !== null && { view: { text: picture.view } }),
    subject,
    ...(picture.day !== null && { createdDateTime: picture.day }),
    ...(picture.part !== null && { bodySite: siteConcept({ part: picture.part, side: picture.side }) }),
    ...(picture.cameraName !== null && { deviceName: picture.cameraName }),
    height: picture.heightPx,
    width: picture.widthPx,
    content: {
      contentType: "image/jpeg",
      url: picture.fileName,
      size: picture.bytes.byteLength,
      // R4 asks for SHA-1 here, as a check of transmission; the originals' SHA-256 stands in the Provenance.
      hash: createHash("sha1").update(picture.bytes).digest("base64"),
      title: picture.fileName,
    },
  };
}

interface Size {
  readonly name: string;
  readonly code: Code;
  readonly measured: Measured;
  readonly unit: "mm" | "mm2";
}

const sizesOf = (region: FhirRegion): Size[] => [
  { name: "area", code: sct("131184002", "Area of defined region"), measured: region.areaMm2, unit: "mm2" },
  { name: "length", code: sct("410668003", "Length"), measured: region.lengthMm, unit: "mm" },
  { name: "width", code: sct("103355008", "Width"), measured: region.widthMm, unit: "mm" },
  { name: "perimeter", code: sct("131191004", "Perimeter"), measured: region.perimeterMm, unit: "mm" },
];

/**
 * One size. The interval stands as a component with a range: `referenceRange` would say what is usual in people, which is
 * something else.
 */
function observationOf(
  { code, measured, unit }: Size,
  region: FhirRegion,
  picture: FhirPicture,
  about: {
    readonly patient: Reference;
    readonly media: string;
    readonly request: string | null;
    readonly site: string | null;
  },
): Resource {
  const quantity = (value: number): Quantity => ({
    value: Number(value.toPrecision(8)),
    unit: unit === "mm2" ? "mm²" : unit,
    system: "http://unitsofmeasure.org",
    code: unit,
  });
  const { value, u95 } = measured;
  return {
    resourceType: "Observation",
    status: "final",
    ...(about.request !== null && { basedOn: [{ reference: about.request }] }),
    code: concept(code, `${code.meaning}, ${region.label}`),
    subject: about.patient,
    ...(about.site !== null && { focus: [{ reference: about.site }] }),
    ...(picture.day !== null && { effectiveDateTime: picture.day }),
    ...(picture.part !== null && { bodySite: siteConcept({ part: picture.part, side: picture.side }) }),
    valueQuantity: quantity(value),
    method: { text: region.method },
    derivedFrom: [{ reference: about.media }],
    component: [
      {
        code: { text: "95 % interval of the measurement (expanded uncertainty, k about 2)" },
        valueRange: { low: quantity(Math.max(0, value - u95)), high: quantity(value + u95) },
      },
    ],
  };
}

interface Site {
  readonly part: string;
  readonly side: Side;
}

/** Each part and side once, in the order of the pictures. */
function sitesOf({ pictures }: FhirRelease): readonly Site[] {
  const sites = pictures.flatMap(({ part, side }) => (part === null ? [] : [{ part, side }]));
  return [...new Map(sites.map((site) => [`${site.part}\n${site.side}`, site])).values()];
}

const sideCode = (side: Side): Code | null =>
  side === "left" ? LEFT : side === "right" ? RIGHT : side === "both" ? BILATERAL : null;

const siteConcept = ({ part, side }: Site): CodeableConcept =>
  concept(bodyPartCode(part), side === null ? part : `${part}, ${side}`);

const DCM = "http://dicom.nema.org/resources/ontology/DCM";

function concept(code: Code | null, text?: string): CodeableConcept {
  return {
    ...(code !== null && {
      coding: [{ system: "http://snomed.info/sct", code: code.value, display: code.meaning }],
    }),
    ...(text !== undefined && { text }),
  };
}

const terminology = (system: string, code: string, display: string): CodeableConcept => ({
  coding: [{ system: `http://terminology.hl7.org/CodeSystem/${system}`, code, display }],
});

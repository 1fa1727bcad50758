/** What is used of R4's data types; the tests hold whole bundles against HL7's own schema. @source FhirR4 */
export interface Bundle {
  readonly resourceType: "Bundle";
  readonly type: "collection";
  readonly timestamp: string;
  readonly entry: readonly BundleEntry[];
}

export interface BundleEntry {
  readonly fullUrl: string;
  readonly resource: Resource;
}

export interface Resource {
  readonly resourceType:
    | "Patient"
    | "ServiceRequest"
    | "BodyStructure"
    | "Media"
    | "Observation"
    | "Consent"
    | "Provenance";
  readonly [element: string]: unknown;
}

export interface Reference {
  readonly reference?: string;
  readonly identifier?: { readonly value: string };
  readonly display?: string;
}

export interface CodeableConcept {
  readonly coding?: readonly { readonly system: string; readonly code: string; readonly display: string }[];
  readonly text?: string;
}

export interface Quantity {
  readonly value: number;
  readonly unit: string;
  readonly system: string;
  readonly code: string;
}

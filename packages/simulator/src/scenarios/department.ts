/** An invented department, its invented patients and what was asked of it. Nothing here belongs to anybody. */
export interface Department {
  readonly name: string;
  readonly sensorMm: { readonly width: number; readonly height: number };
  readonly patients: readonly DemoPatient[];
  readonly requests: readonly DemoRequest[];
}

export interface DemoPatient {
  readonly number: string;
  readonly familyName: string;
  readonly givenName: string;
  readonly born: string;
}

export interface DemoRequest {
  readonly code: string;
  readonly patientNumber: string | null;
  /** Key of a view set of the demonstration practice. */
  readonly viewSet: string;
  readonly part: string;
  readonly purpose: string;
  readonly requester: string;
  /** Key of a place of the demonstration practice. */
  readonly place: string;
  readonly visitDates: readonly string[];
}

/** Fernhill Infirmary: invented. */
export function demoDepartment(): Department {
  return {
    name: "Clinical Photography, Fernhill Infirmary",
    sensorMm: { width: 36, height: 24 },
    patients: [
      { number: "FH204118", familyName: "Marlowe", givenName: "Iris", born: "1951-04-09" },
      { number: "FH118903", familyName: "Ellery", givenName: "Tomas", born: "1984-11-23" },
      { number: "FH330275", familyName: "Farrow", givenName: "Odile", born: "1997-06-30" },
      { number: "FH091446", familyName: "Calder", givenName: "Ruth", born: "1969-01-17" },
      { number: "FH275530", familyName: "Pemberton", givenName: "Hugh", born: "1943-08-02" },
      { number: "FH509912", familyName: "Ashdown", givenName: "Piet", born: "1958-09-14" },
      { number: "FH412067", familyName: "Brandt", givenName: "Leonie", born: "2001-12-05" },
    ],
    requests: [
      {
        code: "R-101",
        patientNumber: "FH204118",
        viewSet: "leg-wound",
        part: "Left lower leg, medial",
        purpose: "healing of a leg wound",
        requester: "Wound clinic",
        place: "clinic",
        // The patient did not come to the last one.
        visitDates: ["2026-03-02", "2026-03-16", "2026-03-30", "2026-04-13", "2026-04-27"],
      },
      {
        code: "R-102",
        patientNumber: "FH118903",
        viewSet: "pigmented-lesion",
        part: "Back, right of the midline",
        purpose: "follow-up of a mole",
        requester: "Skin clinic",
        place: "studio",
        visitDates: ["2026-03-02", "2026-06-01"],
      },
      {
        code: "R-103",
        patientNumber: "FH330275",
        viewSet: "injury-evidence",
        part: "Right upper arm, lateral",
        purpose: "record of an injury",
        requester: "Emergency department",
        place: "clinic",
        visitDates: ["2026-03-16"],
      },
      {
        code: "R-104",
        patientNumber: "FH091446",
        viewSet: "hand-pair",
        part: "Right hand",
        purpose: "before hand surgery",
        requester: "Hand clinic",
        place: "studio",
        visitDates: ["2026-03-16"],
      },
      {
        code: "R-105",
        patientNumber: "FH275530",
        viewSet: "heel-mirror",
        part: "Right heel",
        purpose: "pressure damage",
        requester: "Ward 7",
        place: "ward",
        visitDates: ["2026-04-13"],
      },
      {
        code: "R-106",
        patientNumber: null,
        viewSet: "staff-notice",
        part: "Head and shoulders",
        purpose: "staff notice",
        requester: "Communications office",
        place: "studio",
        visitDates: ["2026-03-02"],
      },
      {
        code: "R-107",
        patientNumber: "FH412067",
        viewSet: "injury-evidence",
        part: "Left forearm",
        purpose: "record of an injury",
        requester: "Emergency department",
        place: "clinic",
        visitDates: ["2026-04-13"],
      },
      {
        code: "R-108",
        patientNumber: "FH509912",
        viewSet: "leg-wound-plane",
        part: "Left lower leg, medial",
        purpose: "healing of a leg wound",
        requester: "Ward 3",
        place: "ward",
        visitDates: ["2026-05-11"],
      },
    ],
  };
}

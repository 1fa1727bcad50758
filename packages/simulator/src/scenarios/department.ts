/** An invented department, its invented patients and what was asked of it. Nothing here belongs to anybody. */
export interface Department {
  readonly name: string;
  readonly sensorMm: { readonly width: number; readonly height: number };
  readonly patients: readonly DemoPatient[];
  readonly requests: readonly DemoRequest[];
  readonly viewSets: readonly DemoViewSet[];
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
  readonly viewSet: string;
  readonly part: string;
  readonly purpose: string;
  readonly requester: string;
  readonly visitDates: readonly string[];
}

/** In the shape of a practice's view sets. */
export interface DemoViewSet {
  readonly key: string;
  readonly name: string;
  readonly version: number;
  readonly purpose: "record" | "series" | "evidence" | "notice";
  readonly views: readonly DemoView[];
}

export interface DemoView {
  readonly key: string;
  readonly name: string;
  readonly part: string;
  readonly side: "left" | "right" | "both" | "none";
  readonly aspect: string;
  readonly magnification: number;
  readonly orientation: "landscape" | "portrait";
  readonly focalMm: number;
  readonly fNumber: number;
  readonly light: string;
  readonly backdrop: string;
  readonly scale: "none" | "straight" | "L" | "label" | "marker";
  readonly mirrored: boolean;
  readonly instructions: string;
  readonly cautions: readonly (
    | "flash-near-eyes"
    | "newborn"
    | "photosensitive"
    | "infection"
    | "dignity"
    | "capacity"
  )[];
}

const VIEW: Omit<DemoView, "key" | "name" | "part" | "aspect" | "magnification" | "scale"> = {
  side: "none",
  orientation: "landscape",
  focalMm: 100,
  fNumber: 16,
  light: "flash on the camera",
  backdrop: "mid blue cloth",
  mirrored: false,
  instructions: "",
  cautions: [],
};

const LEG = { ...VIEW, part: "lower leg", side: "left", aspect: "medial", cautions: ["infection"] } as const;
const INJURY = {
  ...VIEW,
  part: "upper arm",
  side: "right",
  aspect: "lateral",
  cautions: ["dignity"],
} as const;
const HAND = {
  ...VIEW,
  part: "hand",
  side: "right",
  orientation: "portrait",
  magnification: 0.125,
  scale: "straight",
} as const;

const VIEW_SETS: readonly DemoViewSet[] = [
  {
    key: "leg-wound",
    name: "Wound of the lower leg, series",
    version: 1,
    purpose: "series",
    views: [
      {
        ...LEG,
        key: "close-up",
        name: "Close-up with L-scale",
        magnification: 1 / 4,
        scale: "L",
        instructions: "Scale beside the wound, in its plane; camera square to it.",
      },
      {
        ...LEG,
        key: "location",
        name: "Location with straight scale",
        magnification: 1 / 10,
        scale: "straight",
        instructions: "The whole lower leg across the picture.",
      },
    ],
  },
  {
    key: "pigmented-lesion",
    name: "Pigmented lesion, series",
    version: 1,
    purpose: "series",
    views: [
      {
        ...VIEW,
        key: "context",
        name: "Context",
        part: "back",
        aspect: "posterior",
        magnification: 1 / 2,
        scale: "straight",
        light: "ring flash",
      },
      {
        ...VIEW,
        key: "life-size",
        name: "Life size",
        part: "back",
        aspect: "posterior",
        magnification: 1,
        scale: "label",
        light: "ring flash",
      },
    ],
  },
  {
    key: "injury-evidence",
    name: "Injury for evidence, with and without scale",
    version: 1,
    purpose: "evidence",
    views: [
      { ...INJURY, key: "orientation", name: "Orientation", magnification: 1 / 10, scale: "none" },
      {
        ...INJURY,
        key: "close-up-plain",
        name: "Close-up without scale",
        magnification: 1 / 4,
        scale: "none",
      },
      { ...INJURY, key: "close-up-scale", name: "Close-up with L-scale", magnification: 1 / 4, scale: "L" },
    ],
  },
  {
    key: "hand-pair",
    name: "Hand, back and palm",
    version: 1,
    purpose: "record",
    views: [
      { ...HAND, key: "dorsal", name: "Back of the hand", aspect: "dorsal" },
      { ...HAND, key: "palmar", name: "Palm", aspect: "palmar" },
    ],
  },
  {
    key: "heel-mirror",
    name: "Heel by mirror",
    version: 1,
    purpose: "record",
    views: [
      {
        ...VIEW,
        key: "heel-mirror",
        name: "Heel in the mirror",
        part: "heel",
        side: "right",
        aspect: "plantar",
        magnification: 1 / 5,
        scale: "straight",
        mirrored: true,
        cautions: ["infection"],
        instructions: "Mirror under the heel at 45 degrees; focus on the image.",
      },
    ],
  },
  {
    key: "staff-notice",
    name: "Portrait for a staff notice",
    version: 1,
    purpose: "notice",
    views: [
      {
        ...VIEW,
        key: "portrait",
        name: "Head and shoulders",
        part: "head",
        aspect: "anterior",
        magnification: 1 / 10,
        orientation: "portrait",
        scale: "none",
        backdrop: "grey paper",
        light: "window and reflector",
        cautions: ["flash-near-eyes"],
      },
    ],
  },
];

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
        visitDates: ["2026-03-02", "2026-06-01"],
      },
      {
        code: "R-103",
        patientNumber: "FH330275",
        viewSet: "injury-evidence",
        part: "Right upper arm, lateral",
        purpose: "record of an injury",
        requester: "Emergency department",
        visitDates: ["2026-03-16"],
      },
      {
        code: "R-104",
        patientNumber: "FH091446",
        viewSet: "hand-pair",
        part: "Right hand",
        purpose: "before hand surgery",
        requester: "Hand clinic",
        visitDates: ["2026-03-16"],
      },
      {
        code: "R-105",
        patientNumber: "FH275530",
        viewSet: "heel-mirror",
        part: "Right heel",
        purpose: "pressure damage",
        requester: "Ward 7",
        visitDates: ["2026-04-13"],
      },
      {
        code: "R-106",
        patientNumber: null,
        viewSet: "staff-notice",
        part: "Head and shoulders",
        purpose: "staff notice",
        requester: "Communications office",
        visitDates: ["2026-03-02"],
      },
      {
        code: "R-107",
        patientNumber: "FH412067",
        viewSet: "injury-evidence",
        part: "Left forearm",
        purpose: "record of an injury",
        requester: "Emergency department",
        visitDates: ["2026-04-13"],
      },
    ],
    viewSets: VIEW_SETS,
  };
}

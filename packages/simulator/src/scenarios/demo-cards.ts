import { type Camera, standardCamera } from "../camera/camera.ts";
import type { Scene } from "../scene/scene.ts";
import type { CardPlan, FramePlan, Planted } from "./card-plan.ts";
import { demoDepartment } from "./department.ts";
import {
  armScene,
  backScene,
  forearmScene,
  HEEL_MIRROR_AT,
  handScene,
  heelScene,
  labelScene,
  legScene,
  locationChart,
  locationScale,
  lScaleBeside,
  portraitScene,
  upright,
} from "./subjects.ts";

export interface DemoOptions {
  /** What a label's code says; the form is docs/label-code.md. */
  readonly labelText?: (requestCode: string, patientNumber: string | null) => string;
}

const labelTextOf = (requestCode: string, patientNumber: string | null): string =>
  patientNumber === null ? `SR1:${requestCode}` : `SR1:${requestCode}:${patientNumber}`;

/** White balance and exposure as somebody left them that day: what makes visits differ in colour. */
const LEFT_AT: Readonly<Record<string, Partial<Camera>>> = {
  "CARD-B": { whiteBalanceK: 4900, exposureStops: 0.15 },
  "CARD-C": { whiteBalanceK: 6200 },
  "CARD-D": { whiteBalanceK: 5200, exposureStops: -0.2 },
};

const CLOCK_OFFSET_S = 3 * 3600 + 12 * 60;

/** The demonstration's cards: five days of an invented department, with the faults that were planted. */
export function demoCards(options: DemoOptions = {}): readonly CardPlan[] {
  const labelText = options.labelText ?? labelTextOf;
  return [
    card("CARD-A", "one", 23, 0, labelText, (add) => {
      add.label("R-101", "2026-03-02T09:12:20");
      add.view(
        "close-up",
        40,
        legScene(0, [lScaleBeside(-24, -20)]),
        { leanXDeg: 2, leanYDeg: -1.5, rollDeg: 1 },
        "wound",
      );
      add.view("location", 35, legScene(0, [locationScale, locationChart]), {
        magnification: 0.1,
        leanXDeg: 1,
      });
      add.label("R-102", "2026-03-02T10:02:10");
      add.view("context", 45, backScene(0, [lesionScale]), { magnification: 0.5, rollDeg: -2 }, "lesion");
      add.view(
        "life-size",
        70,
        backScene(0, [lesionLabel]),
        { magnification: 1, fNumber: 22, leanYDeg: 1, targetMm: { x: 0, y: 3 } },
        "lesion",
      );
      add.label("R-106", "2026-03-02T14:30:05");
      add.view("portrait", 50, portraitScene(), {
        ...upright,
        magnification: 0.1,
        fNumber: 8,
        targetMm: { x: 0, y: 40 },
      });
    }),
    card("CARD-B", "one", 34, 0, labelText, (add) => {
      add.label("R-101", "2026-03-16T09:05:44");
      add.view(
        "close-up",
        38,
        legScene(1, [lScaleBeside(-25, -21, 4)]),
        { magnification: 0.2, leanXDeg: -2, rollDeg: -2, targetMm: { x: 3, y: 2 } },
        "wound",
        [{ fault: "ratio", plannedMagnification: 0.25, madeMagnification: 0.2 }],
      );
      add.view("location", 33, legScene(1, [locationScale, locationChart]), {
        magnification: 0.1,
        leanYDeg: 2,
        rollDeg: -1,
      });
      add.label("R-103", "2026-03-16T10:41:09");
      add.view("orientation", 36, armScene([]), { magnification: 0.1 });
      add.view("close-up-plain", 41, armScene([]), { leanXDeg: 1 });
      add.view(
        "close-up-scale",
        52,
        armScene([lScaleBeside(-26, -14)]),
        { leanXDeg: 1, leanYDeg: 2 },
        "bruise",
      );
      add.label("R-104", "2026-03-16T11:20:31");
      add.view("dorsal", 44, handScene("dorsal"), {
        ...upright,
        magnification: 0.125,
        targetMm: { x: 0, y: 10 },
      });
      add.view("palmar", 30, handScene("palmar"), {
        ...upright,
        magnification: 0.125,
        targetMm: { x: 0, y: 10 },
        rollDeg: 1,
      });
    }),
    card("CARD-C", "two", 7, CLOCK_OFFSET_S, labelText, (add) => {
      add.label("R-101", "2026-03-30T09:20:02");
      add.view(
        "close-up",
        47,
        legScene(2, [lScaleBeside(-23, -19, -3)]),
        { leanXDeg: 9, leanYDeg: -7.965, rollDeg: 2, targetMm: { x: 2, y: -1 } },
        "wound",
        [{ fault: "lean", leanDeg: 12 }],
      );
      add.view("location", 31, legScene(2, [locationScale, locationChart]), {
        magnification: 0.1,
        rollDeg: 2,
      });
    }),
    card("CARD-D", "one", 61, 0, labelText, (add) => {
      add.label("R-101", "2026-04-13T09:01:55");
      add.view(
        "close-up",
        39,
        legScene(3, twoScales),
        { leanXDeg: 1.5, targetMm: { x: 10, y: 6 } },
        "wound",
        [{ fault: "scale-height", heightMm: 12 }],
      );
      add.view(
        "close-up",
        95,
        legScene(3, [lScaleBeside(-22, -22, 2)]),
        { leanYDeg: 1, rollDeg: -1, targetMm: { x: 1, y: 0 } },
        "wound",
      );
      add.view("location", 34, legScene(3, [locationScale, locationChart]), {
        magnification: 0.1,
        leanXDeg: -1,
      });
      add.label("R-105", "2026-04-13T10:15:20");
      add.view("heel-mirror", 66, heelScene(), { magnification: 0.2, targetMm: HEEL_MIRROR_AT }, "wound");
      add.unlabelled("R-107", "2026-04-13T13:48:12");
      add.view("orientation", 0, forearmScene([]), { magnification: 0.1 }, null, [{ fault: "no-label" }]);
      add.view("close-up-scale", 49, forearmScene([lScaleBeside(-28, -16)]), { leanXDeg: -1.5 }, "bruise", [
        { fault: "no-label" },
      ]);
    }),
    card("CARD-E", "one", 88, 0, labelText, (add) => {
      add.label("R-102", "2026-06-01T10:10:48");
      add.view(
        "context",
        43,
        backScene(1, [lesionScale]),
        { magnification: 0.5, rollDeg: 1, targetMm: { x: 1.5, y: -1 } },
        "lesion",
      );
      add.view(
        "life-size",
        61,
        backScene(1, [lesionLabel]),
        { magnification: 1, fNumber: 22, rollDeg: -3, leanXDeg: 1.5, targetMm: { x: 0.6, y: 2.6 } },
        "lesion",
      );
    }),
  ];
}

const lesionScale = {
  kind: "straight-scale",
  placement: { xMm: 0, yMm: -14 },
  lengthMm: 50,
  widthMm: 13,
  edges: ["mm"],
  style: { material: "paper", numeralHeightMm: 2.2 },
} as const;

const lesionLabel = {
  kind: "label-scale",
  placement: { xMm: 0, yMm: 13.2 },
  lines: ["FH118903", "back"],
} as const;

/** One scale on the skin, the other held above it on the far side of the wound. */
const twoScales = [
  {
    kind: "straight-scale",
    placement: { xMm: 12, yMm: -22, rotateDeg: 2, heightMm: 12 },
    lengthMm: 80,
    widthMm: 16,
    edges: ["mm"],
  },
  {
    kind: "straight-scale",
    placement: { xMm: 12, yMm: 40, rotateDeg: -1 },
    lengthMm: 80,
    widthMm: 16,
    edges: ["mm"],
    style: { material: "paper" },
  },
] as const;

interface Adding {
  label(requestCode: string, at: string): void;
  /** The same, but the photographer forgot the label: only the time moves on. */
  unlabelled(requestCode: string, at: string): void;
  /** @param afterS seconds after the frame before */
  view(
    viewKey: string,
    afterS: number,
    scene: Scene,
    camera: Partial<Camera>,
    outlined?: string | null,
    planted?: readonly Planted[],
  ): void;
}

function card(
  key: string,
  body: "one" | "two",
  firstNumber: number,
  clockOffsetS: number,
  labelText: (requestCode: string, patientNumber: string | null) => string,
  fill: (add: Adding) => void,
): CardPlan {
  const department = demoDepartment();
  const frames: FramePlan[] = [];
  let at = new Date(0);
  let request = department.requests[0]!;
  const push = (
    camera: Partial<Camera>,
    frame: Omit<
      FramePlan,
      | "fileName"
      | "requestCode"
      | "patientNumber"
      | "visitDate"
      | "viewSet"
      | "trueTakenAt"
      | "camera"
      | "seed"
      | "superseded"
    >,
  ): void => {
    const number = firstNumber + frames.length;
    const trueTakenAt = at.toISOString().slice(0, 19);
    const shown = new Date(at.getTime() + clockOffsetS * 1000).toISOString();
    frames.push({
      ...frame,
      fileName: `VC01${String(number).padStart(4, "0")}.JPG`,
      requestCode: request.code,
      patientNumber: request.patientNumber,
      visitDate: trueTakenAt.slice(0, 10),
      viewSet: request.viewSet,
      trueTakenAt,
      superseded: false,
      planted:
        clockOffsetS === 0 ? frame.planted : [...frame.planted, { fault: "clock", offsetS: clockOffsetS }],
      camera: standardCamera({
        model: body === "one" ? "Virtual One" : "Virtual Two",
        serial: body === "one" ? "100417" : "200093",
        takenAt: `${shown.slice(0, 10).replaceAll("-", ":")} ${shown.slice(11, 19)}`,
        ...LEFT_AT[key],
        ...camera,
      }),
      seed: number * 101 + key.charCodeAt(5),
    });
  };
  const begin = (requestCode: string, when: string): void => {
    request = department.requests.find(({ code }) => code === requestCode)!;
    at = new Date(`${when}Z`);
  };
  fill({
    label(requestCode, when) {
      begin(requestCode, when);
      const lines = linesOf(requestCode);
      const scene = labelScene(
        lines,
        labelText(requestCode, request.patientNumber),
        firstNumber + frames.length,
      );
      const camera = { magnification: 0.2, rollDeg: (frames.length % 3) - 1, leanXDeg: 3 };
      push(camera, { shows: "label", viewKey: null, outlined: null, planted: [], scene });
    },
    unlabelled: begin,
    view(viewKey, afterS, scene, camera, outlined = null, planted = []) {
      at = new Date(at.getTime() + afterS * 1000);
      push(camera, { shows: "view", viewKey, outlined, planted, scene });
    },
  });
  return { key, folder: "DCIM/100VC___", clockOffsetS, frames: markSuperseded(frames) };
}

/** A frame followed by another of the same view was made again. */
const markSuperseded = (frames: readonly FramePlan[]): FramePlan[] =>
  frames.map((frame, i) => {
    const next = frames[i + 1];
    const again =
      frame.viewKey !== null && next?.viewKey === frame.viewKey && next.requestCode === frame.requestCode;
    return { ...frame, superseded: again };
  });

function linesOf(requestCode: string): string[] {
  const department = demoDepartment();
  const request = department.requests.find(({ code }) => code === requestCode)!;
  const patient = department.patients.find(({ number }) => number === request.patientNumber);
  const who = patient
    ? [`${patient.familyName.toUpperCase()}, ${patient.givenName}`, `born ${patient.born}`, patient.number]
    : ["STAFF NOTICE", "no patient"];
  return [...who, request.part, `${requestCode}   Fernhill Infirmary`];
}

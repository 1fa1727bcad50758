import type { CardPlan } from "./card-plan.ts";
import { type DemoOptions, filledCard, labelTextOf } from "./filled-card.ts";
import {
  armScene,
  backScene,
  forearmScene,
  HEEL_MIRROR_AT,
  handScene,
  heelScene,
  legScene,
  locationChart,
  locationScale,
  lScaleBeside,
  portraitScene,
  upright,
} from "./subjects.ts";

const CLOCK_OFFSET_S = 3 * 3600 + 12 * 60;

/** The demonstration's cards: five days of an invented department, with the faults that were planted. */
export function demoCards(options: DemoOptions = {}): readonly CardPlan[] {
  const labelText = options.labelText ?? labelTextOf;
  return [
    filledCard("CARD-A", "one", 23, 0, labelText, (add) => {
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
    filledCard("CARD-B", "one", 34, 0, labelText, (add) => {
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
    filledCard("CARD-C", "two", 7, CLOCK_OFFSET_S, labelText, (add) => {
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
    filledCard("CARD-D", "one", 61, 0, labelText, (add) => {
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
    filledCard("CARD-E", "one", 88, 0, labelText, (add) => {
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

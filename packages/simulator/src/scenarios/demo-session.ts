import type { CardPlan } from "./card-plan.ts";
import { type DemoOptions, filledCard, labelTextOf } from "./filled-card.ts";
import { legScene, locationChart, lScaleBeside } from "./subjects.ts";

/**
 * A session as it arrives at the bedside: the close-up is first made 8 % too large, the location picture first with the
 * camera leaning by 12°; both are made again at once.
 */
export function demoSession(options: DemoOptions = {}): CardPlan {
  const labelText = options.labelText ?? labelTextOf;
  return filledCard("SESSION", "one", 101, 0, labelText, (add) => {
    add.label("R-108", "2026-05-11T09:31:12");
    add.view(
      "close-up",
      41,
      legScene(1, [lScaleBeside(-25, -20, 2)]),
      { magnification: 0.25 * 1.08, leanXDeg: 1, rollDeg: 1 },
      "wound",
      [{ fault: "ratio", plannedMagnification: 0.25, madeMagnification: 0.25 * 1.08 }],
    );
    add.view("close-up", 22, legScene(1, [lScaleBeside(-25, -20, 2)]), { leanXDeg: 1, rollDeg: 1 }, "wound");
    add.view(
      "location",
      35,
      legScene(1, [lScaleBeside(62, -28), locationChart]),
      { magnification: 0.1, leanXDeg: -9, leanYDeg: 7.965 },
      null,
      [{ fault: "lean", leanDeg: 12 }],
    );
    add.view("location", 19, legScene(1, [lScaleBeside(62, -28), locationChart]), {
      magnification: 0.1,
      leanXDeg: 1,
      leanYDeg: -1,
    });
  });
}

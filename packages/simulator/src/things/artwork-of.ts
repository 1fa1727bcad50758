import type { Rgb } from "../artwork/mark.ts";
import type { Thing } from "../scene/scene.ts";
import { bruise } from "./bruise.ts";
import { card } from "./card.ts";
import { colourChart } from "./chart.ts";
import { blood, cloth, disc, finger, glare } from "./covers.ts";
import { hairs } from "./hairs.ts";
import { lScale } from "./l-scale.ts";
import { labelScale } from "./label-scale.ts";
import { lesion } from "./lesion.ts";
import { markerScale } from "./marker-scale.ts";
import { mirrorFrame } from "./mirror.ts";
import { patternSheet } from "./pattern.ts";
import { straightScale } from "./straight-scale.ts";
import type { Artwork } from "./thing.ts";
import { wound } from "./wound.ts";

/** What artwork needs to know of the scene. */
export interface Setting {
  /** Surface slope at which wetness mirrors the lamp to the lens, in surface axes. */
  readonly glint: { readonly x: number; readonly y: number };
  /** Colour of the skin. */
  readonly skin: Rgb;
  readonly pxPerMm: number;
}

/** The artwork of any thing. */
export function artworkOf(thing: Thing, setting: Setting): Artwork {
  switch (thing.kind) {
    case "straight-scale":
      return straightScale(thing);
    case "l-scale":
      return lScale(thing);
    case "label-scale":
      return labelScale(thing);
    case "marker-scale":
      return markerScale(thing);
    case "chart":
      return colourChart(thing);
    case "card":
      return card(thing);
    case "wound": {
      const { glint } = setting;
      const turn = ((thing.placement.rotateDeg ?? 0) * Math.PI) / 180;
      const c = Math.cos(turn);
      const s = Math.sin(turn);
      return wound(thing, { ...setting, glint: [glint.x * c + glint.y * s, glint.y * c - glint.x * s] });
    }
    case "lesion":
      return lesion(thing);
    case "bruise":
      return bruise(thing);
    case "cloth":
      return cloth(thing);
    case "mirror":
      return mirrorFrame(thing);
    case "glare":
      return glare(thing);
    case "finger":
      return finger(thing);
    case "blood":
      return blood(thing);
    case "hairs":
      return hairs(thing);
    case "pattern":
      return patternSheet(thing);
    case "disc":
      return disc(thing);
  }
}

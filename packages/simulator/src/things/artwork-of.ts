import type { Thing } from "../scene/scene.ts";
import { lScale } from "./l-scale.ts";
import { straightScale } from "./straight-scale.ts";
import type { Artwork } from "./thing.ts";

/** The artwork of any thing. */
export function artworkOf(thing: Thing): Artwork {
  switch (thing.kind) {
    case "straight-scale":
      return straightScale(thing);
    case "l-scale":
      return lScale(thing);
  }
}

import type { Me } from "@samescale/server";
import { Button } from "../parts/button.tsx";
import { words } from "../words/index.ts";
import { Emergency } from "./emergency.tsx";
import type { Light } from "./light.ts";
import { OwnAccount } from "./own-account.tsx";
import { PlaceLink } from "./place-link.tsx";
import { type Place, placesFor } from "./places.ts";
import css from "./shell.module.css";

export interface PlacesProps {
  readonly here: Place | null;
  readonly me: Me;
  readonly light: Light;
  readonly setLight: (light: Light) => void;
}

/** At the desk: every place by its word, in the order of the day. */
export function PlacesColumn({ here, me, light, setLight }: PlacesProps) {
  const other = light === "dim" ? "light" : "dim";
  return (
    <nav className={`${css.column} not-printed`} aria-label={words.shell.places}>
      <ul className={css.places}>
        {placesFor(me.role).map((place) => (
          <li key={place.path}>
            <PlaceLink place={place} isHere={place === here} />
          </li>
        ))}
      </ul>
      <div className={css.foot}>
        <OwnAccount me={me} />
        <Emergency me={me} />
        <Button look="bare" onPress={() => setLight(other)}>
          {words.shell.light[other]}
        </Button>
      </div>
    </nav>
  );
}

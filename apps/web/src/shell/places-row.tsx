import { useState } from "react";
import { Button } from "../parts/button.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { words } from "../words/index.ts";
import { Emergency } from "./emergency.tsx";
import { OwnAccount } from "./own-account.tsx";
import { PlaceLink } from "./place-link.tsx";
import { placesFor } from "./places.ts";
import type { PlacesProps } from "./places-column.tsx";
import css from "./shell.module.css";

/** What is wanted standing, with the thumb; the rest is one touch away. */
const IN_REACH = 4;

/** On a phone the column is a row below. */
export function PlacesRow({ here, me, light, setLight }: PlacesProps) {
  const [isOpen, setOpen] = useState(false);
  const other = light === "dim" ? "light" : "dim";
  const places = placesFor(me.role);
  const shown = places.slice(0, IN_REACH);
  const isElsewhere = here !== null && !shown.includes(here);
  return (
    <nav className={`${css.row} not-printed`} aria-label={words.shell.placesBelow}>
      {shown.map((place) => (
        <PlaceLink key={place.path} place={place} isHere={place === here} />
      ))}
      <button
        type="button"
        className={css.placeLink}
        aria-current={isElsewhere ? "page" : undefined}
        onClick={() => setOpen(true)}
      >
        {isElsewhere ? here.name : words.shell.more}
        <span aria-hidden="true">▴</span>
      </button>
      <Dialog title={words.shell.places} isOpen={isOpen} onClose={() => setOpen(false)}>
        <ul className={css.allPlaces}>
          {places.map((place) => (
            <li key={place.path}>
              <PlaceLink place={place} isHere={place === here} onGo={() => setOpen(false)} />
            </li>
          ))}
        </ul>
        <OwnAccount me={me} />
        <Emergency me={me} />
        <Button onPress={() => setLight(other)}>{words.shell.light[other]}</Button>
      </Dialog>
    </nav>
  );
}

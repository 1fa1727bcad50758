import type { PlaceForFrames } from "@samescale/server";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting;

/** A request as whoever was there knows it: who, when, what. */
export function PlaceLine({ place, nth }: { readonly place: PlaceForFrames; readonly nth: number | null }) {
  const { code, title, patient, thatDay, state } = place;
  const when = thatDay[0] === undefined ? null : thatDay[0].slice(11, 16) || said.thatDay;
  return (
    <span className={css.placeLine}>
      <span className={css.placeHead}>
        {nth !== null && <kbd>{nth}</kbd>}
        <strong>{patient?.name ?? said.noPatient}</strong>
        {when && <span>{when}</span>}
      </span>
      <span className="quiet">
        {code}
        {patient && ` · ${patient.number}`}
        {state !== "open" && ` · ${said.done}`}
      </span>
      <span className="quiet">{title}</span>
    </span>
  );
}

export const placeText = ({ code, title, patient }: PlaceForFrames): string =>
  [patient?.name ?? said.noPatient, code, patient?.number, title].filter(Boolean).join(", ");

/** Whether every word that was typed is in it. */
export const fits = (place: PlaceForFrames, typed: string): boolean => {
  const text = placeText(place).toLowerCase();
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
};

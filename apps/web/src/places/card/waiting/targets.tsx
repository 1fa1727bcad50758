import type { PlaceForFrames } from "@samescale/server";
import { useState } from "react";
import { GridList, GridListItem, useDragAndDrop } from "react-aria-components";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { FRAMES_TYPE, framesIn } from "./dragged.ts";
import { fits, PlaceLine, placeText } from "./place-line.tsx";

const said = words.card.waiting;

/** The requests that frames are dragged onto; pressed, what is marked goes there. */
export function Targets({
  places,
  onGive,
}: {
  readonly places: readonly PlaceForFrames[];
  readonly onGive: (to: PlaceForFrames, frames?: readonly string[]) => void;
}) {
  const [typed, setTyped] = useState("");
  const shown = places.filter((place) => fits(place, typed.trim()));
  const byId = (id: unknown) => places.find(({ requestId }) => requestId === id);
  const { dragAndDropHooks } = useDragAndDrop({
    acceptedDragTypes: [FRAMES_TYPE],
    getDropOperation: () => "move",
    shouldAcceptItemDrop: ({ dropPosition }) => dropPosition === "on",
    async onItemDrop({ target, items }) {
      const to = byId(target.key);
      if (to) onGive(to, await framesIn(items));
    },
  });
  return (
    <section aria-labelledby="give-to" className={css.targetList}>
      <h2 id="give-to">{said.targets}</h2>
      <Field label={said.filter} value={typed} onChange={setTyped} maxLength={100} autoComplete="off" />
      <GridList
        aria-labelledby="give-to"
        className={css.places ?? ""}
        items={shown.map((place) => ({ id: place.requestId, place }))}
        dependencies={[places]}
        dragAndDropHooks={dragAndDropHooks}
        onAction={(key) => {
          const to = byId(key);
          if (to) onGive(to);
        }}
        renderEmptyState={() => <p className="quiet">{said.noTarget}</p>}
      >
        {({ id, place }) => (
          <GridListItem id={id} textValue={placeText(place)} className={css.place ?? ""}>
            <PlaceLine place={place} nth={numberOf(places, place)} />
          </GridListItem>
        )}
      </GridList>
    </section>
  );
}

const numberOf = (places: readonly PlaceForFrames[], place: PlaceForFrames): number | null => {
  const at = places.indexOf(place);
  return at < 9 ? at + 1 : null;
};

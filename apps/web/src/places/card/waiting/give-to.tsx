import type { PlaceForFrames } from "@samescale/server";
import { useState } from "react";
import { Autocomplete, Input, Label, ListBox, ListBoxItem, SearchField } from "react-aria-components";
import { Dialog } from "../../../parts/dialog.tsx";
import parts from "../../../parts/parts.module.css";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { fits, PlaceLine, placeText } from "./place-line.tsx";

const said = words.card.waiting;

/** By key: type who it is, arrow to it, Enter. */
export function GiveTo({
  isOpen,
  count,
  places,
  onChoose,
  onClose,
}: {
  readonly isOpen: boolean;
  readonly count: number;
  readonly places: readonly PlaceForFrames[];
  readonly onChoose: (to: PlaceForFrames) => void;
  readonly onClose: () => void;
}) {
  const [typed, setTyped] = useState("");
  const shown = places.filter((place) => fits(place, typed.trim()));
  return (
    <Dialog title={said.giveMarked(count)} isOpen={isOpen} onClose={onClose}>
      {count === 0 ? (
        <p>{said.noneMarked}</p>
      ) : (
        <Autocomplete inputValue={typed} onInputChange={setTyped}>
          <SearchField className={parts.field ?? ""} autoFocus aria-label={said.filter}>
            <Label>{said.filter}</Label>
            <Input className={parts.input ?? ""} />
          </SearchField>
          <ListBox
            aria-label={said.targets}
            className={css.choose ?? ""}
            items={shown.map((place) => ({ id: place.requestId, place }))}
            onAction={(key) => {
              const to = places.find(({ requestId }) => requestId === key);
              if (to) onChoose(to);
            }}
            renderEmptyState={() => <p className="quiet">{said.noTarget}</p>}
          >
            {({ id, place }) => (
              <ListBoxItem id={id} textValue={placeText(place)} className={css.place ?? ""}>
                <PlaceLine place={place} nth={null} />
              </ListBoxItem>
            )}
          </ListBox>
        </Autocomplete>
      )}
    </Dialog>
  );
}

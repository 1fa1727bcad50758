import { useState } from "react";
import { DropZone, FileTrigger, Text } from "react-aria-components";
import { Button } from "../../parts/button.tsx";
import { notify } from "../../shell/notices.ts";
import { words } from "../../words/index.ts";
import css from "./card.module.css";
import { type DroppedCard, readChosen, readDropped } from "./upload/read-dropped.ts";
import { sendCards } from "./upload/uploads.ts";

const said = words.card.drop;

/** Where a card is dropped, or chosen in the system's own dialog. */
export function DropCard() {
  const [isReading, setReading] = useState(false);
  const take = async (read: () => Promise<DroppedCard[]> | DroppedCard[]) => {
    setReading(true);
    const cards = await read();
    setReading(false);
    if (cards.length === 0) notify({ say: said.nothing });
    sendCards(cards);
  };
  const choose = (files: FileList | null) => files && void take(() => readChosen(files));
  return (
    <DropZone
      className={css.dropZone ?? ""}
      getDropOperation={() => "copy"}
      onDrop={({ items }) => void take(() => readDropped(items))}
    >
      <CardShape />
      <Text slot="label" className={css.dropTitle ?? ""}>
        {isReading ? said.reading : said.title}
      </Text>
      <p className="quiet">{said.hint}</p>
      <div className={css.row}>
        <FileTrigger acceptDirectory onSelect={choose}>
          <Button look="chief">{said.chooseFolder}</Button>
        </FileTrigger>
        <FileTrigger allowsMultiple onSelect={choose}>
          <Button>{said.chooseFiles}</Button>
        </FileTrigger>
      </div>
    </DropZone>
  );
}

/** A memory card, drawn plainly. */
const CardShape = () => (
  <svg className={css.cardShape} viewBox="0 0 48 60" aria-hidden="true">
    <path
      d="M5 3h27l11 11v43H5z"
      fill="none"
      stroke="currentColor"
      strokeWidth="2.5"
      strokeLinejoin="round"
    />
    <path d="M12 9v9M18 9v9M24 9v9M30 9v9" stroke="currentColor" strokeWidth="2.5" strokeLinecap="round" />
  </svg>
);

import type { Opener } from "@samescale/server";
import { Button } from "../../../parts/button.tsx";
import { PictureViewer } from "../../../viewer/viewer.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting;

/** A label frame as large as there is room, so that its writing can be read; what a reader made of it stands below. */
export function LabelLarge({
  opener,
  codes,
  onClose,
}: {
  readonly opener: Opener;
  readonly codes: readonly string[];
  readonly onClose: () => void;
}) {
  return (
    <section className={css.labelLarge} aria-label={said.labelLarge(opener.name)}>
      <div className={css.between}>
        <h2>{said.labelLarge(opener.name)}</h2>
        <Button onPress={onClose}>{said.close}</Button>
      </div>
      {opener.sha256 && (
        <PictureViewer sha256={opener.sha256} label={said.labelLarge(opener.name)} height="60dvh" />
      )}
      <p>
        {opener.placedTo !== null
          ? said.openedFor(opener.placedTo)
          : codes.length > 0
            ? said.read(codes)
            : said.readNothing}
      </p>
    </section>
  );
}

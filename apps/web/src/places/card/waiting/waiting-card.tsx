import type { WaitingCard } from "@samescale/server";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { WaitingGroupPart } from "./waiting-group.tsx";

const said = words.card.waiting;

export interface Marking {
  readonly marked: ReadonlySet<string>;
  readonly onMark: (marked: ReadonlySet<string>) => void;
  /** Opens a label frame large. */
  readonly onLook: (frameId: string) => void;
}

/** One card: its frames that wait, between the label frames they stand between. */
export function WaitingCardPart({ card, ...marking }: Marking & { readonly card: WaitingCard }) {
  const name = card.cardPath.split("/").at(-1) ?? card.cardPath;
  const count = card.groups.reduce((sum, { frames }) => sum + frames.length, 0);
  return (
    <section aria-labelledby={`card-${card.intakeId}`} className={css.waitingCard}>
      <h2 id={`card-${card.intakeId}`}>{said.card(name, count)}</h2>
      {card.groups.map((group, at) => (
        <WaitingGroupPart
          key={group.opener?.frameId ?? `start-${at}`}
          group={group}
          cardName={name}
          {...marking}
        />
      ))}
    </section>
  );
}

import type { Placed } from "@samescale/server";
import { Dialog } from "../../../parts/dialog.tsx";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting.consequences;

/** What a placing does not change and a person has to: told at once, and in the record. */
export function FollowsFromIt({
  placed,
  onClose,
}: {
  readonly placed: Placed | null;
  readonly onClose: () => void;
}) {
  if (placed === null) return null;
  const { doubts, released, stale } = placed;
  return (
    <Dialog title={said.title} isOpen onClose={onClose}>
      {doubts.length > 0 && <List title={said.doubts} lines={doubts} />}
      {released.length > 0 && (
        <>
          <List
            title={said.left}
            lines={released.map(({ day, name, recipient }) => said.leftLine(day, name, recipient))}
          />
          <p>
            <Link to="/release/recalls">{said.recalls}</Link>
          </p>
        </>
      )}
      {stale.length > 0 && <List title={said.stale} lines={stale.map(({ kind, id }) => `${kind} ${id}`)} />}
    </Dialog>
  );
}

const List = ({ title, lines }: { readonly title: string; readonly lines: readonly string[] }) => (
  <section>
    <h3>{title}</h3>
    <ul className={css.plainList}>
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  </section>
);

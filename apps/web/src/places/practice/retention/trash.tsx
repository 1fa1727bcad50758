import type { ShownTrash } from "@samescale/server";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { retention: say } = words.practice;

/** Frames that were put aside; each is taken back with one touch. */
export function Trash({ frames }: { readonly frames: readonly ShownTrash[] }) {
  const back = useAct(
    (frameId: string) =>
      ask("POST", "/practice/trash/back", { frameIds: [frameId], because: say.takeBackReason }),
    { say: () => say.takenBack },
  );
  return (
    <section className={css.section}>
      <h2>{say.trash}</h2>
      <p className={css.text}>{frames.length === 0 ? say.noTrash : say.trashSays}</p>
      <ul className={css.lines}>
        {frames.map(({ frameId, name, at, code }) => (
          <li key={frameId} className={css.line}>
            <span className={css.strong}>{name}</span>
            <span className="quiet">
              {code ?? say.unplaced}
              {at && ` · ${at.slice(0, 16).replace("T", " ")}`}
            </span>
            <Button onPress={() => back.mutate(frameId)} aria-label={say.takeBackOf(name)}>
              {say.takeBack}
            </Button>
          </li>
        ))}
      </ul>
    </section>
  );
}

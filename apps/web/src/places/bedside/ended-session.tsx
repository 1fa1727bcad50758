import type { BedsideView } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";
import { Button } from "../../parts/button.tsx";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./choose.module.css";
import { ViewList } from "./missing.tsx";

/** What a session came to. */
export interface Outcome {
  readonly folder: string | null;
  readonly views: readonly BedsideView[];
}

/** What was made, what is missing, and what comes next. */
export function EndedSession(props: {
  readonly outcome: Outcome;
  readonly path: string;
  readonly onGoOn: () => void;
}) {
  const { views, folder } = props.outcome;
  const again = useAct(async () => {
    await ask("POST", `${props.path}/begin`, { folder });
    props.onGoOn();
  });
  return (
    <div className={css.begin}>
      <h2>{words.bedside.ended}</h2>
      <p className={css.subject}>
        {words.bedside.endedMade(views.filter(({ isMade }) => isMade).length, views.length)}
      </p>
      <ViewList views={views} />
      <p>{words.bedside.next}</p>
      <div className={css.acts}>
        <Link to="/card" look="chief">
          {words.bedside.toCard}
        </Link>
        {folder !== null && <Button onPress={() => again.mutate(undefined)}>{words.bedside.again}</Button>}
        <Link to="/bedside" look="bare">
          {words.bedside.another}
        </Link>
      </div>
    </div>
  );
}

import type { HeldCamera, RehearsalRoom } from "@samescale/server";
import { useState } from "react";
import { useSearchParams } from "wouter";
import { Verdict } from "../../parts/verdict.tsx";
import { words } from "../../words/index.ts";
import { numberBehind } from "../bedside/number-behind.ts";
import { Controls } from "./controls.tsx";
import css from "./rehearse.module.css";
import { Task } from "./task.tsx";
import { Truth } from "./truth.tsx";
import { type Shots, useShots } from "./use-shots.ts";

/** Picture and sentence as at the bedside, and everything that the hands can do beside them. */
export function Room({ room }: { readonly room: RehearsalRoom }) {
  const [search, setSearch] = useSearchParams();
  const named = search.get("task");
  const task = room.tasks.find(({ key }) => key === named) ?? null;
  const [held, hold] = useState<HeldCamera>(task?.start ?? room.heldWell);
  const shots = useShots(held, task?.key ?? null);
  const begin = (key: string | null) => {
    setSearch(key === null ? {} : { task: key });
    hold({ ...(room.tasks.find((one) => one.key === key)?.start ?? room.heldWell) });
  };
  return (
    <div className={css.room}>
      <div className={css.look}>
        <figure className={css.picture}>
          {shots.picture && <img src={shots.picture} alt={words.rehearse.picture} />}
        </figure>
        <Sentence shots={shots} />
      </div>
      <div className={css.side}>
        <Task key={task?.key ?? ""} room={room} task={task} shots={shots} begin={begin} />
        <Controls room={room} held={held} hold={hold} />
        <Truth shots={shots} />
      </div>
    </div>
  );
}

/** The judge's own words, none of ours. */
function Sentence({ shots: { judged } }: { readonly shots: Shots }) {
  const number = judged && numberBehind(judged.verdict.findings);
  return (
    <div className={css.say} role="status">
      {judged ? (
        <>
          <Verdict verdict={judged.verdict.verdict} large />
          <p className={css.sentence}>{judged.verdict.say}</p>
          {number && <p className={css.number}>{number}</p>}
          {judged.verdict.notJudged.length > 0 && (
            <p className="quiet">{`${words.rehearse.notJudged}: ${judged.verdict.notJudged.join("; ")}`}</p>
          )}
        </>
      ) : (
        <p className={`${css.sentence} quiet`}>{words.rehearse.looking}</p>
      )}
    </div>
  );
}

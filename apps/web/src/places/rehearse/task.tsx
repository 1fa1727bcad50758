import type { RehearsalRoom, TaskResult } from "@samescale/server";
import { useState } from "react";
import { Button } from "../../parts/button.tsx";
import { Choice } from "../../parts/choice.tsx";
import { useKeys } from "../../shell/keys.ts";
import { words } from "../../words/index.ts";
import { useProgress } from "./progress.ts";
import css from "./rehearse.module.css";
import type { Shots } from "./use-shots.ts";

const FREELY = "";

/** One thing to learn: done or not is told when asked, a hint when asked. */
export function Task(props: {
  readonly room: RehearsalRoom;
  readonly task: RehearsalRoom["tasks"][number] | null;
  readonly shots: Shots;
  readonly begin: (task: string | null) => void;
}) {
  const { room, task, shots, begin } = props;
  const { done, add, forget } = useProgress();
  const [told, tell] = useState<TaskResult | null>(null);
  const [isHinted, hint] = useState(false);
  const result = shots.judged?.result ?? null;
  const check = () => {
    tell(result);
    if (task && result?.isDone) add(task.key);
  };
  useKeys(
    words.shell.names.rehearse,
    task && result ? [{ key: "Enter", does: words.rehearse.checkKey, run: check }] : [],
  );
  const nameOf = (key: string) => words.rehearse.taskNames[key] ?? key;
  const next = room.tasks.find(({ key }) => key !== task?.key && !done.includes(key));
  return (
    <section className={css.task}>
      <Choice
        label={`${words.rehearse.tasks}: ${words.rehearse.progress(done.length, room.tasks.length)}`}
        options={[
          { value: FREELY, label: words.rehearse.freely },
          ...room.tasks.map(({ key }) => ({
            value: key,
            label: done.includes(key) ? `● ${nameOf(key)}, ${words.rehearse.done}` : nameOf(key),
          })),
        ]}
        value={task?.key ?? FREELY}
        onChange={(key) => begin(key === FREELY ? null : key)}
      />
      {task && (
        <>
          {task.hasBaseline && (
            <figure className={css.baseline}>
              <img src={`/api/rehearse/baselines/${task.key}`} alt={words.rehearse.baseline} />
              <figcaption className="quiet">{words.rehearse.baseline}</figcaption>
            </figure>
          )}
          {isHinted && <p>{words.rehearse.hints[task.key]}</p>}
          <p role="status" className={css.told}>
            {told &&
              (told.isDone
                ? words.rehearse.passed
                : words.rehearse.notYet(words.rehearse.aims[told.what], words.rehearse.times(told.off)))}
          </p>
          <div className={css.acts}>
            <Button look={told?.isDone ? "plain" : "chief"} onPress={check} isDisabled={result === null}>
              {words.rehearse.check}
            </Button>
            {!isHinted && <Button onPress={() => hint(true)}>{words.rehearse.hint}</Button>}
            <Button
              onPress={() => {
                tell(null);
                begin(task.key);
              }}
            >
              {words.rehearse.again}
            </Button>
            {told?.isDone && next && (
              <Button look="chief" onPress={() => begin(next.key)}>
                {words.rehearse.next}
              </Button>
            )}
          </div>
        </>
      )}
      {!task && done.length > 0 && (
        <Button look="bare" onPress={forget}>
          {words.rehearse.forget}
        </Button>
      )}
    </section>
  );
}

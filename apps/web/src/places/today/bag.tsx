import type { BagAnswer } from "@samescale/server";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Checkbox } from "../../parts/checkbox.tsx";
import { Link } from "../../parts/link.tsx";
import { notify } from "../../shell/notices.ts";
import { words } from "../../words/index.ts";
import css from "./bag.module.css";
import { useBagTicks } from "./bag-ticks.ts";

const say = words.today.bag;
type Line = BagAnswer["bag"]["lines"][number];

/** What to carry today: first what is wrong, then line by line, to be ticked. */
export function Bag({ day }: { readonly day: string }) {
  const answer = useAnswer<BagAnswer>(`/today/bag?day=${day}`, ["request", "plan", "visit", "practice"]);
  return (
    <section className={css.bag} id="bag" aria-labelledby="bag-title">
      <h2 id="bag-title">{say.title(day)}</h2>
      <Answered of={answer}>{(bag) => <Packing day={day} answer={bag} />}</Answered>
    </section>
  );
}

function Packing({
  day,
  answer: { bag, withoutPlan },
}: {
  readonly day: string;
  readonly answer: BagAnswer;
}) {
  const [ticks, setTicks] = useBagTicks(day);
  const { lines, cleanBetween, visits, minutes } = bag;
  const keyed = lines.map((line) => ({ ...line, key: `${line.group} ${line.id ?? line.what}` }));
  const wrong = [
    ...lines.flatMap(({ what, missing, toDo }) => [
      ...(missing === null ? [] : [`${what}: ${missing}`]),
      ...toDo.map((does) => `${what}: ${does}`),
    ]),
    ...visits.flatMap(({ requestCode, refused }) => refused.map((says) => say.refused(requestCode, says))),
  ];
  const done = keyed.filter(({ key }) => ticks.has(key)).length;
  const tick = (key: string, on: boolean) => {
    const next = new Set(ticks);
    if (on) next.add(key);
    else next.delete(key);
    setTicks(next);
  };
  const unpack = () => {
    const before = ticks;
    setTicks(new Set());
    notify({ say: say.emptied, undo: async () => setTicks(before) });
  };
  return (
    <>
      {(wrong.length > 0 || withoutPlan.length > 0) && (
        <div className={css.wrong}>
          <h3>{say.wrong}</h3>
          <ul>
            {withoutPlan.map((code) => (
              <li key={code}>
                <Link to={`/requests/${code}?show=plan`}>{say.noPlan(code)}</Link>
              </li>
            ))}
            {wrong.map((says) => (
              <li key={says}>{says}</li>
            ))}
          </ul>
        </div>
      )}
      {lines.length === 0 ? (
        <>
          <p>{say.none}</p>
          <p className="quiet">{say.noneHelp}</p>
        </>
      ) : (
        <>
          <p className={css.count} role="status">
            {say.packed(done, keyed.length)}
          </p>
          <ul className={css.lines}>
            {keyed.map((line) => (
              <li key={line.key}>
                <Checkbox isSelected={ticks.has(line.key)} onChange={(on) => tick(line.key, on)}>
                  <LineSaid line={line} />
                </Checkbox>
              </li>
            ))}
          </ul>
          <p className={css.foot}>
            <span className="quiet">{say.kept}</span>
            {done > 0 && (
              <Button look="bare" onPress={unpack}>
                {say.emptyAll}
              </Button>
            )}
          </p>
        </>
      )}
      {cleanBetween.length > 0 && (
        <div>
          <h3>{say.clean}</h3>
          <p>{cleanBetween.join("; ")}</p>
        </div>
      )}
      {minutes > 0 && <p className="quiet">{say.minutes(Math.ceil(minutes))}</p>}
    </>
  );
}

function LineSaid({
  line: { count, what, spare, where, for: codes, toDo, missing },
}: {
  readonly line: Line;
}) {
  const wrong = [...(missing === null ? [] : [missing]), ...toDo];
  const more = [
    ...(spare > 0 ? [say.spare(spare)] : []),
    ...(where === null ? [] : [say.from(where)]),
    say.for(codes.join(", ")),
  ];
  return (
    <>
      <span className={css.what}>{say.line(count, what)}</span>
      {wrong.length > 0 && <span className={css.fault}>{wrong.join("; ")}</span>}
      <span className={css.more}>{more.join(" · ")}</span>
    </>
  );
}

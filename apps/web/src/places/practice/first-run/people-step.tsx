import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import { FirstAccount } from "../people/first-account.tsx";
import css from "../practice.module.css";

const { firstRun } = words.practice;
const say = firstRun.people;

/** Step 3: alone on this machine, or the first account. */
export function PeopleStep({ next }: { readonly next: () => void }) {
  return (
    <>
      <h2>{firstRun.names[2]}</h2>
      <p className={css.text}>{say.says}</p>
      <h3>{say.alone}</h3>
      <p className={css.text}>{say.aloneSays}</p>
      <p>
        <Button look="chief" onPress={next}>
          {say.finish}
        </Button>
      </p>
      <FirstAccount onDone={next} />
    </>
  );
}

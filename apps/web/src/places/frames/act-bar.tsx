import { Button } from "../../parts/button.tsx";
import { words } from "../../words/index.ts";
import css from "./frames.module.css";

const { frames: say } = words;

export interface ActBarProps {
  /** Which frames it is about: one at hand by its name, or those marked. */
  readonly name: string | null;
  readonly marked: number;
  readonly isAside: boolean;
  readonly mayJudge: boolean;
  readonly onUnmark: () => void;
  readonly onKeep: () => void;
  readonly onRepeat: () => void;
  readonly onNote: () => void;
  readonly onCompare: () => void;
  readonly onOpen: (() => void) | undefined;
  readonly onAside: () => void;
}

/** What can be done to the frames at hand, always at the lower edge, for the thumb. */
export function ActBar(props: ActBarProps) {
  const { name, marked, isAside, mayJudge } = props;
  const canCompare = marked >= 2 && marked <= 4;
  if (name === null && marked === 0) return null;
  return (
    <section className={`${css.actBar} not-printed`} aria-label={say.acts}>
      <p className={css.about}>
        {marked > 0 ? (
          <>
            <strong>{say.marked(marked)}</strong>
            <Button look="bare" onPress={props.onUnmark}>
              {say.unmark}
            </Button>
          </>
        ) : (
          <strong>{name}</strong>
        )}
      </p>
      <div className={css.actButtons}>
        {props.onOpen && (
          <Button onPress={props.onOpen}>
            {say.open} <KeyHint of="↵" />
          </Button>
        )}
        {mayJudge && (
          <>
            <Button onPress={props.onKeep}>
              {say.keep} <KeyHint of="k" />
            </Button>
            <Button onPress={props.onRepeat}>
              {say.repeat} <KeyHint of="r" />
            </Button>
            <Button onPress={props.onNote}>
              {say.note} <KeyHint of="n" />
            </Button>
          </>
        )}
        {marked > 0 && (
          <Button look={canCompare ? "chief" : "plain"} isDisabled={!canCompare} onPress={props.onCompare}>
            {say.compare} <KeyHint of="c" />
          </Button>
        )}
        {mayJudge && (
          <Button onPress={props.onAside}>
            {isAside ? say.takeBack : say.putAside} <KeyHint of="x" />
          </Button>
        )}
      </div>
    </section>
  );
}

/** The key beside its act; those who hear the page learn it from `?`. */
const KeyHint = ({ of }: { readonly of: string }) => (
  <span className={css.key} aria-hidden="true">
    {of}
  </span>
);

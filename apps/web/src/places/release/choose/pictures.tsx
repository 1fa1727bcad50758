import type { PictureOfRequest, Refusal } from "@samescale/server";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Link } from "../../../parts/link.tsx";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import { dayOf } from "../parts/text.ts";
import css from "../release.module.css";
import { maskAddress, RefusalList, WayOut } from "./refusal-list.tsx";
import type { StepProps } from "./uses.tsx";

const { choose: say } = words.release;

/** Which pictures: each with what consent and masks say of it for this use. */
export function Pictures({
  of,
  choice,
  change,
  refusals,
}: StepProps & { readonly refusals: readonly Refusal[] | undefined }) {
  const chosen = new Set(choice.frames);
  const byFrame = Map.groupBy(refusals ?? [], ({ frameId }) => frameId);
  // What stands against every one of them is said once.
  const ofAll = [...Map.groupBy(refusals ?? [], ({ why }) => why).values()].filter(
    (same) => of.pictures.length > 1 && same.length >= of.pictures.length && same[0]!.frameId !== null,
  );
  const whysOfAll = new Set(ofAll.map((same) => same[0]!.why));
  const visits = Map.groupBy(of.pictures, ({ visit }) => visit ?? "");
  const all = of.pictures.map(({ frameId }) => frameId);
  // In the order of time, whatever the order in which they were marked.
  const set = (next: ReadonlySet<string>) => change({ frames: all.filter((frameId) => next.has(frameId)) });
  return (
    <>
      <div className={css.bar}>
        <span role="status">{say.chosen(choice.frames.length, of.pictures.length)}</span>
        <Button onPress={() => set(new Set(all))}>{say.chooseAll}</Button>
        <Button
          isDisabled={refusals === undefined}
          onPress={() => set(new Set(all.filter((frameId) => !byFrame.has(frameId))))}
        >
          {say.chooseMay}
        </Button>
        <Button onPress={() => set(new Set())}>{say.chooseNone}</Button>
      </div>
      {ofAll.length > 0 && (
        <div className={css.missing}>
          <p>
            <strong>{say.ofAll(of.pictures.length)}</strong>
          </p>
          <RefusalList code={of.code} refusals={ofAll.map((same) => ({ ...same[0]!, frame: null }))} />
        </div>
      )}
      {[...visits].map(([day, pictures]) => (
        <section key={day} className={css.visit} aria-label={day ? say.chooseVisit(day) : say.noVisit}>
          <div className={css.bar}>
            <h3>{day ? say.chooseVisit(day) : say.noVisit}</h3>
            <Button
              look="bare"
              aria-label={`${say.addVisit}: ${day ? say.chooseVisit(day) : say.noVisit}`}
              onPress={() => set(new Set([...chosen, ...pictures.map(({ frameId }) => frameId)]))}
            >
              {say.addVisit}
            </Button>
          </div>
          <ul className={css.pictures}>
            {pictures.map((picture) => (
              <li key={picture.frameId} data-chosen={chosen.has(picture.frameId)}>
                <Picture
                  code={of.code}
                  picture={picture}
                  isChosen={chosen.has(picture.frameId)}
                  needsMask={choice.use?.masksConfirmed ?? false}
                  refusals={refusals && (byFrame.get(picture.frameId) ?? [])}
                  saidAbove={whysOfAll}
                  onChoose={(is) => {
                    const next = new Set(chosen);
                    if (is) next.add(picture.frameId);
                    else next.delete(picture.frameId);
                    set(next);
                  }}
                  onShow={() => change({ shown: picture.frameId })}
                />
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}

interface PictureProps {
  readonly code: string;
  readonly picture: PictureOfRequest;
  readonly isChosen: boolean;
  readonly needsMask: boolean;
  readonly refusals: readonly Refusal[] | undefined;
  readonly saidAbove: ReadonlySet<string>;
  readonly onChoose: (is: boolean) => void;
  readonly onShow: () => void;
}

function Picture(props: PictureProps) {
  const { code, picture, isChosen, needsMask, refusals, saidAbove, onChoose, onShow } = props;
  const { name, original, mask, frameId } = picture;
  return (
    <>
      <div className={css.thumb}>
        {original && <img src={thumbnailUrl(original)} alt="" loading="lazy" />}
      </div>
      <Checkbox isSelected={isChosen} onChange={onChoose} aria-label={say.picture(name)}>
        {name}
      </Checkbox>
      {refusals && <May may={refusals.length === 0} />}
      {refusals
        ?.filter(({ why }) => !saidAbove.has(why))
        .map((refusal) => (
          <p key={refusal.why} className={css.pictureWhy}>
            {refusal.why}. <WayOut code={code} refusal={refusal} />
          </p>
        ))}
      {needsMask && mask && (
        <p className="quiet">
          {say.masked(mask.areas.length, mask.confirmedBy, dayOf(mask.confirmedAt))}.{" "}
          <Link to={maskAddress(frameId)}>{say.maskAgain}</Link>
        </p>
      )}
      <Button look="bare" onPress={onShow} aria-label={`${say.show}: ${name}`}>
        {say.show}
      </Button>
    </>
  );
}

/** A shape and a word. */
const May = ({ may }: { readonly may: boolean }) => (
  <p className={may ? css.reachSome : css.reachNone}>
    <svg viewBox="0 0 20 20" aria-hidden="true">
      {may ? (
        <circle cx="10" cy="10" r="7" fill="currentColor" />
      ) : (
        <circle
          cx="10"
          cy="10"
          r="6.5"
          fill="none"
          stroke="currentColor"
          strokeWidth="2"
          strokeDasharray="3 3"
        />
      )}
    </svg>
    {may ? say.mayLeave : say.mayNot}
  </p>
);

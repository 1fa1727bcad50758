import type { PictureOfRequest, Refusal } from "@samescale/server";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Link } from "../../../parts/link.tsx";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import { dayOf } from "../parts/text.ts";
import css from "../release.module.css";
import { maskAddress, WayOut } from "./refusal-list.tsx";
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
      {[...visits].map(([day, pictures]) => (
        <section key={day} className={css.visit} aria-label={day ? say.chooseVisit(day) : say.noVisit}>
          <h3>
            <Button
              look="bare"
              onPress={() => set(new Set([...chosen, ...pictures.map(({ frameId }) => frameId)]))}
            >
              {day ? say.chooseVisit(day) : say.noVisit}
            </Button>
          </h3>
          <ul className={css.pictures}>
            {pictures.map((picture) => (
              <li key={picture.frameId} data-chosen={chosen.has(picture.frameId)}>
                <Picture
                  code={of.code}
                  picture={picture}
                  isChosen={chosen.has(picture.frameId)}
                  needsMask={choice.use?.masksConfirmed ?? false}
                  refusals={refusals && (byFrame.get(picture.frameId) ?? [])}
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
  readonly onChoose: (is: boolean) => void;
  readonly onShow: () => void;
}

function Picture({ code, picture, isChosen, needsMask, refusals, onChoose, onShow }: PictureProps) {
  const { name, original, mask, frameId } = picture;
  return (
    <>
      <div className={css.thumb}>
        {original && <img src={thumbnailUrl(original)} alt="" loading="lazy" />}
      </div>
      <Checkbox isSelected={isChosen} onChange={onChoose} aria-label={say.picture(name)}>
        {name}
      </Checkbox>
      {refusals?.length === 0 && <p className={css.reachSome}>{say.mayLeave}</p>}
      {refusals?.map((refusal) => (
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

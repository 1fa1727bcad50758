import type { WaitingFrame, WaitingGroup } from "@samescale/server";
import { GridList, GridListItem, useDragAndDrop } from "react-aria-components";
import { Button } from "../../../parts/button.tsx";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { FRAMES_TYPE } from "./dragged.ts";
import { FrameTile } from "./frame-tile.tsx";
import type { Marking } from "./waiting-card.tsx";

const said = words.card.waiting;

/** Frames behind one label frame: the label beside them, why they wait, each to be marked and dragged. */
export function WaitingGroupPart({
  group,
  cardName,
  marked,
  onMark,
  onLook,
}: Marking & { readonly group: WaitingGroup; readonly cardName: string }) {
  const { opener, frames } = group;
  const ids = frames.map(({ frameId }) => frameId);
  const here = ids.filter((id) => marked.has(id));
  const markHere = (next: readonly string[]) =>
    onMark(new Set([...[...marked].filter((id) => !ids.includes(id)), ...next]));
  const { dragAndDropHooks } = useDragAndDrop({
    // Marked frames of every group go along with one of them.
    getItems: (keys) => {
      const dragged = [...keys].map(String);
      const all = dragged.some((id) => marked.has(id)) ? [...marked] : dragged;
      return [{ [FRAMES_TYPE]: JSON.stringify(all), "text/plain": words.card.frames(all.length) }];
    },
  });
  const reasons = [...new Set(frames.map(({ why }) => why))];
  const title = opener === null ? said.beforeAny : said.afterLabel(opener.name);
  return (
    <div className={css.group}>
      <div className={css.groupHead}>
        {opener?.sha256 && (
          <button type="button" className={css.openerPicture} onClick={() => onLook(opener.frameId)}>
            <img src={thumbnailUrl(opener.sha256)} alt={said.labelLarge(opener.name)} loading="lazy" />
          </button>
        )}
        <div>
          <h3>
            {title}
            {opener && (
              <span className="quiet">
                {" "}
                · {opener.placedTo ? said.openedFor(opener.placedTo) : said.opensNobody}
              </span>
            )}
          </h3>
          {reasons.length === 1 && <p>{reasons[0]}.</p>}
          <div className={css.row}>
            {opener?.sha256 && <Button onPress={() => onLook(opener.frameId)}>{said.large}</Button>}
            <Button onPress={() => markHere(here.length === ids.length ? [] : ids)}>
              {here.length === ids.length ? said.none_ : said.all}
            </Button>
          </div>
        </div>
      </div>
      <GridList
        aria-label={`${said.group}, ${cardName}, ${title}`}
        className={css.tiles ?? ""}
        layout="grid"
        items={frames.map((frame) => ({ id: frame.frameId, frame }))}
        dependencies={[reasons.length]}
        selectionMode="multiple"
        selectedKeys={here}
        onSelectionChange={(keys) => markHere(keys === "all" ? ids : [...keys].map(String))}
        dragAndDropHooks={dragAndDropHooks}
      >
        {({ id, frame }: { id: string; frame: WaitingFrame }) => (
          <GridListItem id={id} textValue={frame.name} className={css.tile ?? ""}>
            <FrameTile frame={frame} why={reasons.length > 1} />
          </GridListItem>
        )}
      </GridList>
    </div>
  );
}

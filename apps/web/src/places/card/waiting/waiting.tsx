import type { PlaceForFrames, WhoseAreThey } from "@samescale/server";
import type { UseQueryResult } from "@tanstack/react-query";
import { useState } from "react";
import { useSearchParams } from "wouter";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { Because } from "./because.tsx";
import { FollowsFromIt } from "./consequences.tsx";
import { GiveTo } from "./give-to.tsx";
import { LabelLarge } from "./label-large.tsx";
import { LatelyPlaced } from "./lately-placed.tsx";
import { Targets } from "./targets.tsx";
import { usePlacing } from "./use-placing.ts";
import { WaitingCardPart } from "./waiting-card.tsx";

const said = words.card.waiting;

/** The frames that nobody's label fits: looked at, marked, and given to the request they belong to. */
export function Waiting({ of }: { readonly of: UseQueryResult<WhoseAreThey, unknown> }) {
  return <Answered of={of}>{(all) => <Whose all={all} />}</Answered>;
}

function Whose({ all }: { readonly all: WhoseAreThey }) {
  const [asked, ask] = useSearchParams();
  const [marked, setMarked] = useState<ReadonlySet<string>>(new Set());
  const [giving, setGiving] = useState<{ frames: readonly string[]; to: PlaceForFrames } | null>(null);
  const [isChoosing, setChoosing] = useState(false);
  const placing = usePlacing(() => setMarked(new Set()));
  const { cards, places, lately } = all;
  const groups = cards.flatMap((card) => card.groups);
  const frames = groups.flatMap((group) => group.frames);
  // What somebody else placed meanwhile is marked no longer.
  const still = frames.filter(({ frameId }) => marked.has(frameId)).map(({ frameId }) => frameId);
  const give = (to: PlaceForFrames, ids: readonly string[] = still) => {
    if (ids.length > 0) setGiving({ frames: ids, to });
  };
  const label = asked.get("label");
  const opener = groups.find((group) => group.opener?.frameId === label)?.opener ?? null;
  const look = (frameId: string | null) =>
    ask((now) => {
      if (frameId === null) now.delete("label");
      else now.set("label", frameId);
      return now;
    });
  const firstOpener = groups.find(
    ({ opener: one, frames: of }) =>
      one && (still.length === 0 || of.some(({ frameId }) => marked.has(frameId))),
  )?.opener;
  useKeys(words.card.whose, [
    { key: "p", does: said.keys.give, run: () => setChoosing(true) },
    { key: "a", does: said.keys.all, run: () => setMarked(new Set(frames.map(({ frameId }) => frameId))) },
    { key: "n", does: said.keys.none, run: () => setMarked(new Set()) },
    { key: "v", does: said.keys.label, run: () => look(opener ? null : (firstOpener?.frameId ?? null)) },
    ...places.slice(0, 9).map((place, at) => ({
      key: String(at + 1),
      does: `${said.keys.number} (${place.code})`,
      run: () => give(place),
    })),
  ]);
  if (frames.length === 0) {
    return (
      <div className={css.sections}>
        <Empty title={said.none}>
          <p>{said.noneHelp}</p>
          <Link to="/card" look="chief">
            {said.toCard}
          </Link>
        </Empty>
        <LatelyPlaced lately={lately} />
        <FollowsFromIt placed={placing.follows} onClose={placing.forget} />
      </div>
    );
  }
  return (
    <div className={css.whose}>
      <div className={css.sections}>
        <p className="quiet">{said.why}</p>
        {opener && (
          <LabelLarge
            opener={opener}
            codes={frames.find(({ frameId }) => frameId === opener.frameId)?.codes ?? []}
            onClose={() => look(null)}
          />
        )}
        {cards.map((card) => (
          <WaitingCardPart key={card.intakeId} card={card} marked={marked} onMark={setMarked} onLook={look} />
        ))}
        <LatelyPlaced lately={lately} />
      </div>
      <div className={css.targets}>
        <div className={css.markedBar}>
          <p role="status">{said.marked(still.length)}</p>
          <Button look="chief" isDisabled={still.length === 0} onPress={() => setChoosing(true)}>
            {said.give}
          </Button>
        </div>
        <Targets places={places} onGive={give} />
      </div>
      <GiveTo
        isOpen={isChoosing}
        count={still.length}
        places={places}
        onClose={() => setChoosing(false)}
        onChoose={(to) => {
          setChoosing(false);
          give(to);
        }}
      />
      {giving && (
        <Because
          count={giving.frames.length}
          to={giving.to}
          onClose={() => setGiving(null)}
          onPlace={(because, visitId) => {
            placing.place({ frameIds: giving.frames, to: giving.to.code, because, visitId });
            setGiving(null);
          }}
        />
      )}
      <FollowsFromIt placed={placing.follows} onClose={placing.forget} />
    </div>
  );
}

import { useCallback, useMemo, useState } from "react";
import { reportFrom } from "../../api/client.ts";
import { Button } from "../../parts/button.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { Problem } from "../../parts/problem.tsx";
import { useKeys } from "../../shell/keys.ts";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { useMe } from "../../shell/session.tsx";
import { words } from "../../words/index.ts";
import { ActBar } from "./act-bar.tsx";
import { NO_FILTERS, useFramesAddress } from "./address.ts";
import { Compare } from "./compare.tsx";
import { AsideDialog, NoteDialog } from "./dialogs.tsx";
import { Facts } from "./facts.tsx";
import { FIND_ID, Filters, FindField } from "./filters.tsx";
import css from "./frames.module.css";
import { Grid } from "./grid.tsx";
import { groupsOf } from "./groups.ts";
import { Hides } from "./hides.tsx";
import { Large } from "./large.tsx";
import { useFrameActs } from "./use-acts.ts";
import { useFrames } from "./use-frames.ts";
import { useIsWide } from "./use-is-wide.ts";
import { Where } from "./where.tsx";

const { frames: say } = words;

type Asking = "note" | "aside" | null;

/** Every frame that this person may look at: found, looked at, judged, compared. */
export default function Frames() {
  const [address, change] = useFramesAddress();
  const { at, where } = address;
  const { answer, foresee } = useFrames(address.query);
  const acts = useFrameActs(foresee);
  const isWide = useIsWide();
  const { role } = useMe();
  const mayJudge = role === "photographer" || role === "lead";
  const [marked, setMarked] = useState<ReadonlySet<string>>(new Set());
  const [asking, setAsking] = useState<Asking>(null);

  const { data, hasNextPage, isFetchingNextPage, fetchNextPage } = answer;
  const groups = useMemo(
    () => groupsOf(data?.pages.flatMap(({ frames }) => frames) ?? [], !hasNextPage),
    [data, hasNextPage],
  );
  const all = useMemo(() => groups.flatMap(({ frames }) => frames), [groups]);
  const counted = data?.pages[0]?.counted ?? null;
  const current = all.find(({ frameId }) => frameId === at) ?? null;
  const isAside = where.aside === "yes";
  const isComparing = address.compare.length > 0;

  const choose = useCallback((frameId: string) => change({ at: frameId }, { replace: true }), [change]);
  const open = useCallback((frameId: string) => change({ at: frameId, large: "1" }), [change]);
  const mark = useCallback((frameId: string) => setMarked((was) => toggled(was, frameId)), []);
  const nearEnd = useCallback(() => {
    if (hasNextPage && !isFetchingNextPage) void fetchNextPage();
  }, [hasNextPage, isFetchingNextPage, fetchNextPage]);

  const chosen =
    marked.size > 0 ? all.filter(({ frameId }) => marked.has(frameId)) : current ? [current] : [];
  const ids = chosen.map(({ frameId }) => frameId);
  const say_ = (verdict: "keep" | "repeat") =>
    ids.length > 0 && acts.judge.mutate({ frameIds: ids, verdict });
  const ask = (what: Asking) => ids.length > 0 && mayJudge && setAsking(what);
  const aside = () => (isAside ? ids.length > 0 && acts.takeBack.mutate(chosen) : ask("aside"));
  const compare = () => marked.size >= 2 && marked.size <= 4 && change({ compare: ids.join(",") });
  const step = (by: -1 | 1) => {
    const index = all.findIndex(({ frameId }) => frameId === at);
    const next = all[index + by];
    if (next) choose(next.frameId);
    if (index + by >= all.length - 4) nearEnd();
  };
  const back = () => {
    if (isComparing) change({ compare: null });
    else if (address.isLarge) change({ large: null });
    else setMarked(new Set());
  };
  const isList = !address.isLarge && !isComparing;
  useKeys(say.keys.title, [
    { key: "ArrowLeft", does: say.keys.before, run: () => step(-1) },
    { key: "ArrowRight", does: say.keys.move, run: () => step(1) },
    ...(isList
      ? [
          { key: " ", does: say.keys.mark, run: () => at && mark(at) },
          { key: "Enter", does: say.keys.open, run: () => at && open(at) },
          { key: "c", does: say.keys.compare, run: () => void compare() },
          { key: "/", does: say.keys.find, run: () => document.getElementById(FIND_ID)?.focus() },
        ]
      : []),
    ...(mayJudge && !isComparing
      ? [
          { key: "k", does: say.keys.keep, run: () => void say_("keep") },
          { key: "r", does: say.keys.repeat, run: () => void say_("repeat") },
          { key: "n", does: say.keys.note, run: () => void ask("note") },
          { key: "x", does: say.keys.aside, run: () => void aside() },
        ]
      : []),
    { key: "Escape", does: say.keys.back, run: back },
  ]);

  const bar = (
    <ActBar
      name={current?.name ?? null}
      marked={marked.size}
      isAside={isAside}
      mayJudge={mayJudge}
      onUnmark={() => setMarked(new Set())}
      onKeep={() => void say_("keep")}
      onRepeat={() => void say_("repeat")}
      onNote={() => void ask("note")}
      onCompare={() => void compare()}
      onOpen={isList && at !== null && marked.size === 0 ? () => open(at) : undefined}
      onAside={() => void aside()}
    />
  );
  return (
    <PlaceFrame
      title={isComparing ? say.comparing.title(address.compare.length) : words.shell.names.frames}
      facts={!isComparing && (isWide || address.isLarge) ? <Facts frameId={at} /> : undefined}
    >
      {isComparing ? (
        <Compare
          ids={address.compare}
          onBack={back}
          onDrop={(frameId) =>
            change({ compare: address.compare.filter((id) => id !== frameId).join(",") }, { replace: true })
          }
        />
      ) : address.isLarge && at !== null ? (
        <>
          <Large frameId={at} all={all} counted={counted} onBack={back} onStep={step} />
          {bar}
        </>
      ) : (
        <>
          <div className={css.top}>
            <FindField
              text={where.text ?? ""}
              onFind={(text) => change({ text: text || null }, { replace: true })}
            />
            <Where address={address} first={all[0] ?? null} />
            <Filters address={address} counted={counted} onChange={change} />
            <Hides address={address} counted={counted} onChange={change} />
          </div>
          {answer.error ? (
            <Problem report={reportFrom(answer.error)} again={() => void answer.refetch()} />
          ) : data && all.length === 0 ? (
            <Nothing
              isEmpty={address.query === ""}
              mayTakeIn={mayJudge}
              onAll={() => change({ ...NO_FILTERS, text: null })}
            />
          ) : (
            <Grid
              groups={groups}
              at={at}
              marked={marked}
              onChoose={choose}
              onOpen={open}
              onMark={mark}
              onNearEnd={nearEnd}
            />
          )}
          {isFetchingNextPage && <p className="quiet">{say.loading}</p>}
          {bar}
        </>
      )}
      {asking === "note" && (
        <NoteDialog
          count={ids.length}
          before={chosen.length === 1 ? (chosen[0]?.note ?? "") : ""}
          onClose={() => setAsking(null)}
          onWrite={(note) => acts.note.mutate({ frameIds: ids, note })}
        />
      )}
      {asking === "aside" && (
        <AsideDialog
          count={ids.length}
          onClose={() => setAsking(null)}
          onPutAside={(because) => {
            acts.putAside.mutate({ frameIds: ids, because });
            setMarked(new Set());
          }}
        />
      )}
    </PlaceFrame>
  );
}

function toggled(was: ReadonlySet<string>, frameId: string): ReadonlySet<string> {
  const next = new Set(was);
  if (!next.delete(frameId)) next.add(frameId);
  return next;
}

function Nothing(props: {
  readonly isEmpty: boolean;
  readonly mayTakeIn: boolean;
  readonly onAll: () => void;
}) {
  const { isEmpty, mayTakeIn, onAll } = props;
  return (
    <Empty title={isEmpty ? say.empty : say.nothing}>
      {isEmpty && !mayTakeIn ? (
        <p>{say.emptyForOthers}</p>
      ) : isEmpty ? (
        <>
          <p>{say.emptyHelp}</p>
          <Link to="/card" look="chief">
            {say.toCard}
          </Link>
        </>
      ) : (
        <Button look="chief" onPress={onAll}>
          {say.showAll}
        </Button>
      )}
    </Empty>
  );
}

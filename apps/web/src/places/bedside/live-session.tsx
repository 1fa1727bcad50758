import type { BedsideFrame, BedsideNow, BedsideView } from "@samescale/server";
import { useEffect, useRef, useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";
import { Button } from "../../parts/button.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Link } from "../../parts/link.tsx";
import { keptHere } from "../../shell/kept.ts";
import { useKeys } from "../../shell/keys.ts";
import { words } from "../../words/index.ts";
import { useAlone } from "./alone.ts";
import { Baseline } from "./baseline.tsx";
import { CautionList } from "./cautions.tsx";
import type { Outcome } from "./ended-session.tsx";
import { useHeld } from "./held.ts";
import css from "./live.module.css";
import { Missing } from "./missing.tsx";
import { NewestPicture } from "./newest-picture.tsx";
import { SessionDialog } from "./session-dialog.tsx";
import { useSignal } from "./signal.ts";
import { useWakeLock } from "./wake-lock.ts";
import { WhatToDo } from "./what-to-do.tsx";

interface LiveProps {
  readonly now: BedsideNow;
  readonly path: string;
  readonly onEnd: (outcome: Outcome) => void;
}

/** The session while it runs: four things and nothing else. */
export function LiveSession({ now, path, onEnd }: LiveProps) {
  useAlone();
  const awake = useWakeLock();
  const [newest = null] = now.frames;
  const judged = newest?.judged;
  const signal = useSignal(newest && judged ? { id: newest.id, verdict: judged.verdict } : null);
  const [held, hold, holdByKey] = useHeld();
  const [areRead, read] = useCautionsRead(now);
  const [open, setOpen] = useState<"cautions" | "session" | null>(null);
  const end = useAct(async () => {
    await ask("POST", `${path}/end`, {});
    onEnd({ folder: now.folder, views: now.views });
  });
  const view = viewShown(now.views, newest);
  useKeys(words.shell.names.bedside, [
    { key: "b", does: words.bedside.ghostKey, run: () => holdByKey("ghost") },
    { key: "v", does: words.bedside.baselineKey, run: () => holdByKey("baseline") },
    { key: "c", does: words.bedside.keys.cautions, run: () => setOpen("cautions") },
    { key: "s", does: words.bedside.keys.session, run: () => setOpen("session") },
  ]);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${now.code} · ${words.shell.application}`;
    heading.current?.focus({ preventScroll: true });
  }, [now.code]);
  return (
    <div className={css.live}>
      <header className={css.head}>
        <Link to="/bedside" look="bare">
          <span aria-hidden="true">‹</span>
          <span className={css.back}>{words.bedside.back}</span>
        </Link>
        <h1 ref={heading} tabIndex={-1}>
          <span className="only-heard">{words.shell.names.bedside} </span>
          {now.code}
        </h1>
        <span className={css.acts}>
          <Button onPress={() => setOpen("cautions")}>{words.bedside.cautions}</Button>
          <Button onPress={() => setOpen("session")}>{words.bedside.session}</Button>
        </span>
      </header>
      {now.folderSays && (
        <p role="alert" className={css.folderSays}>
          {now.folderSays}
        </p>
      )}
      {areRead ? (
        <div className={css.four}>
          {newest ? (
            <>
              <NewestPicture frame={newest} view={view} held={held} path={path} />
              <WhatToDo key={newest.id} frame={newest} path={path} />
            </>
          ) : (
            <Waiting now={now} />
          )}
          <Missing views={now.views} />
          <Baseline view={view} hasFrame={newest !== null} hold={hold} />
        </div>
      ) : (
        <div className={css.before}>
          <h2>{words.bedside.cautionsFirst}</h2>
          <CautionList cautions={now.cautions} />
          <Button look="chief" onPress={read}>
            {words.bedside.cautionsRead}
          </Button>
        </div>
      )}
      <Dialog title={words.bedside.cautions} isOpen={open === "cautions"} onClose={() => setOpen(null)}>
        <CautionList cautions={now.cautions} />
      </Dialog>
      <SessionDialog
        now={now}
        awake={awake}
        signal={signal}
        isOpen={open === "session"}
        onClose={() => setOpen(null)}
        onEnd={() => {
          setOpen(null);
          end.mutate(undefined);
        }}
      />
    </div>
  );
}

/** Before the first frame: what to do now. */
function Waiting({ now }: { readonly now: BedsideNow }) {
  const isReady = now.state === "running";
  return (
    <>
      <div className={css.noPicture} />
      <div className={css.say} role="status">
        <p className={css.sentence}>{words.bedside.waiting}</p>
        <p className={css.of}>
          {isReady ? words.bedside.waitingHelp(now.folder ?? "") : words.bedside.makingReadyHelp}
        </p>
      </div>
    </>
  );
}

/** The view of the newest frame, else the one that comes next. */
const viewShown = (views: readonly BedsideView[], newest: BedsideFrame | null): BedsideView | null =>
  views.find(({ key }) => key === newest?.judged?.view) ??
  views.find(({ isMade }) => !isMade) ??
  views[0] ??
  null;

const KEPT = "samescale-bedside-cautions";

/** Cautions are put once for each session, on each device. */
function useCautionsRead({ code, beganAt, cautions }: BedsideNow): readonly [boolean, () => void] {
  const session = `${code} ${beganAt}`;
  const [readOf, setRead] = useState(() => keptHere.read(KEPT));
  return [
    cautions.length === 0 || readOf === session,
    () => {
      keptHere.write(KEPT, session);
      setRead(session);
    },
  ];
}

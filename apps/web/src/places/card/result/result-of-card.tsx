import type { CardFileResult } from "@samescale/server";
import type { ReactNode } from "react";
import { Link } from "../../../parts/link.tsx";
import { Figure } from "../../../parts/number.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";
import { EraseSign } from "./erase-sign.tsx";
import { FileList } from "./file-list.tsx";

export interface ResultProps {
  readonly name: string;
  readonly files: readonly CardFileResult[];
  readonly erase: { readonly may: boolean; readonly why: string } | null;
  readonly saidAt?: string | null;
  readonly placed: number;
  readonly unplaced: number;
  readonly isWhole: boolean;
  readonly children?: ReactNode;
}

const STATES = ["stored", "already", "not-a-picture", "unreadable"] as const;

/** How a card ended: whether it may be emptied first and largest, then what to do next, then every file. */
export function ResultOfCard(props: ResultProps) {
  const { name, files, erase, saidAt, placed, unplaced, isWhole, children } = props;
  const said = words.card.result;
  const count = (state: CardFileResult["state"]) => files.filter((file) => file.state === state).length;
  return (
    <div className={css.sections}>
      <h2>{isWhole ? said.title(name) : said.begun(name)}</h2>
      <EraseSign erase={erase} saidAt={saidAt ?? null} />
      {children}
      <dl className={css.figures}>
        {STATES.filter((state) => state === "stored" || count(state) > 0).map((state) => (
          <Figure
            key={state}
            label={said[state]}
            value={String(count(state))}
            unit={words.card.filesUnit(count(state))}
          />
        ))}
        <Figure label={said.placed} value={String(placed)} unit={words.card.framesUnit(placed)} />
        <Figure label={said.unplaced} value={String(unplaced)} unit={words.card.framesUnit(unplaced)} />
      </dl>
      <div className={css.row}>
        {unplaced > 0 && (
          <Link to="/card/waiting" look="chief">
            {said.place}
          </Link>
        )}
        <Link to="/frames" look={unplaced > 0 ? "plain" : "chief"}>
          {said.frames}
        </Link>
        <Link to="/card" look="plain">
          {said.another}
        </Link>
      </div>
      <FileList files={files} />
    </div>
  );
}

import type { LogPage } from "@samescale/server";
import { useState } from "react";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";
import { LogFilters } from "./log-filters.tsx";
import { LogLineText } from "./log-line.tsx";

const said = words.custody.log;
const FILTERS = ["day", "act", "person"] as const;

/** The custody log, the newest entry first, by day, by what was done and by whom; what is filtered stands in the address. */
export function LogList() {
  const [asked, ask] = useSearchParams();
  const query = new URLSearchParams(
    FILTERS.flatMap((name) => (asked.get(name) ? [[name, asked.get(name)!]] : [])),
  );
  const text = query.toString();
  return (
    <section aria-labelledby="log">
      <h2 id="log">{said.title}</h2>
      <LogFilters
        key={text}
        given={query}
        onFilter={(next) =>
          ask((now) => {
            for (const name of FILTERS) {
              const value = next.get(name);
              if (value) now.set(name, value);
              else now.delete(name);
            }
            return now;
          })
        }
      />
      {text !== "" && <p className="quiet">{said.hides}</p>}
      <Pages key={`pages ${text}`} query={text} />
    </section>
  );
}

/** Page after page, as many as the person asked for. */
function Pages({ query }: { readonly query: string }) {
  const [befores, setBefores] = useState<readonly (number | null)[]>([null]);
  return (
    <>
      {befores.map((before, at) => (
        <Page
          key={before ?? "newest"}
          query={query}
          before={before}
          onOlder={at === befores.length - 1 ? (next) => setBefores([...befores, next]) : null}
        />
      ))}
    </>
  );
}

function Page({
  query,
  before,
  onOlder,
}: {
  readonly query: string;
  readonly before: number | null;
  /** Null: what is older is shown already. */
  readonly onOlder: ((before: number) => void) | null;
}) {
  const asked = [query, before === null ? "" : `before=${before}`].filter(Boolean).join("&");
  const page = useAnswer<LogPage>(`/custody/log?${asked}`, before === null ? Object.keys(said.acts) : []);
  return (
    <Answered of={page}>
      {({ lines, next }) => (
        <>
          {lines.length === 0 && <p>{said.none}</p>}
          <ol className={css.log}>
            {lines.map((line) => (
              <li key={line.entry} className={css.logLine}>
                <LogLineText line={line} />
              </li>
            ))}
          </ol>
          {onOlder &&
            (next === null ? (
              lines.length > 0 && <p className="quiet">{said.first}</p>
            ) : (
              <Button onPress={() => onOlder(next)}>{said.older}</Button>
            ))}
        </>
      )}
    </Answered>
  );
}

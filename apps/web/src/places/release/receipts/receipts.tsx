import type { ListedRelease, ReleaseList } from "@samescale/server";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { momentOf } from "../parts/text.ts";
import css from "./receipts.module.css";

const { receipts: say, choose } = words.release;

const FILTERS = ["request", "scope", "which", "words"] as const;

/** Everything that left, newest first; the filters stand in the address. */
export function Receipts() {
  const [params, setParams] = useSearchParams();
  const query = new URLSearchParams(
    FILTERS.flatMap((name) => (params.get(name) ? [[name, params.get(name)!]] : [])),
  );
  const list = useAnswer<ReleaseList>(`/release/receipts?${query}`, ["release", "consent"]);
  const set = (name: (typeof FILTERS)[number], value: string) =>
    setParams(
      (before) => {
        const next = new URLSearchParams(before);
        if (value === "") next.delete(name);
        else next.set(name, value);
        return next;
      },
      { replace: true },
    );
  return (
    <PlaceFrame
      title={say.title}
      acts={
        <Link to="/release" look="plain">
          {words.shell.names.release}
        </Link>
      }
    >
      <div className={css.filters}>
        <Field
          label={say.words}
          hint={say.wordsHint}
          value={params.get("words") ?? ""}
          onChange={(value) => set("words", value)}
          maxLength={200}
        />
        <Field
          label={say.request}
          value={params.get("request") ?? ""}
          onChange={(value) => set("request", value)}
          maxLength={60}
        />
        <Choice
          label={say.scope}
          options={[
            { value: "any", label: say.anyScope },
            ...Object.entries(words.release.uses).map(([value, label]) => ({ value, label })),
          ]}
          value={params.get("scope") ?? "any"}
          onChange={(value) => set("scope", value === "any" ? "" : value)}
        />
        <Choice
          label={say.which}
          options={Object.entries(say.whiches).map(([value, label]) => ({ value, label }))}
          value={params.get("which") ?? "all"}
          onChange={(value) => set("which", value === "all" ? "" : value)}
        />
      </div>
      <Answered of={list}>
        {({ releases, of }) =>
          releases.length === 0 ? (
            <Empty title={query.size > 0 ? say.noneFits : say.none}>
              {query.size > 0 ? (
                <Button onPress={() => setParams(new URLSearchParams())}>{say.clear}</Button>
              ) : (
                <>
                  <p>{say.noneHelp}</p>
                  <Link to="/release" look="chief">
                    {say.toRelease}
                  </Link>
                </>
              )}
            </Empty>
          ) : (
            <>
              <p className="quiet" role="status">
                {say.shown(releases.length, of)}
              </p>
              <table className={css.table}>
                <thead>
                  <tr>
                    {Object.values(say.columns).map((column) => (
                      <th key={column} scope="col">
                        {column}
                      </th>
                    ))}
                  </tr>
                </thead>
                <tbody>
                  {releases.map((release) => (
                    <Row key={release.id} release={release} />
                  ))}
                </tbody>
              </table>
            </>
          )
        }
      </Answered>
    </PlaceFrame>
  );
}

function Row({ release }: { readonly release: ListedRelease }) {
  const { id, madeAt, requestCode, to, purpose, scope, form } = release;
  const { columns } = say;
  return (
    <tr>
      <td data-label={columns.when}>
        <Link to={`/release/receipts/${id}`}>{momentOf(madeAt)}</Link>
      </td>
      <td data-label={columns.request}>{requestCode}</td>
      <td data-label={columns.to}>
        <span className={css.to}>{to}</span>
        <span className="quiet"> {purpose}</span>
      </td>
      <td data-label={columns.for}>{words.release.uses[scope]}</td>
      <td data-label={columns.form}>{choose.forms[form]?.[0] ?? form}</td>
      <td data-label={columns.state}>
        <StateText release={release} />
      </td>
    </tr>
  );
}

function StateText({ release }: { readonly release: ListedRelease }) {
  const { state, recallBecause, isExpired, expiresOn } = release;
  if (recallBecause !== null) return <strong className={css.recalled}>{say.recalled}</strong>;
  if (state === "out" && expiresOn) return isExpired ? say.ended(expiresOn) : say.until(expiresOn);
  return say.states[state];
}

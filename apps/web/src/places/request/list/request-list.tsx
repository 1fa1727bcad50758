import type { FoundRequests } from "@samescale/server";
import { useEffect, useRef, useState } from "react";
import { useLocation, useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import css from "./request-list.module.css";

const say = words.request.list;
const STATES = ["open", "done", "cancelled"] as const;
const PRIORITIES = ["routine", "urgent", "asap", "stat"] as const;
/** A person who types is asked about the whole word. */
const PAUSE_MS = 250;

/** Every request that somebody knows of, found by words; what is chosen stands in the address. */
export function RequestList() {
  const { role } = useMe();
  const [chosen, choose] = useSearchParams();
  const [, go] = useLocation();
  const state = STATES.find((one) => one === chosen.get("state")) ?? "open";
  const priority = PRIORITIES.find((one) => one === chosen.get("priority")) ?? "any";
  const text = chosen.get("text") ?? "";
  const query = new URLSearchParams({ state, ...(text !== "" && { text }) });
  const found = useAnswer<FoundRequests>(`/requests?${query}`, ["request", "plan"]);
  const search = useRef<HTMLDivElement>(null);
  const mayAsk = ["photographer", "lead", "requester"].includes(role);
  const set = (name: string, value: string, plain: string) =>
    choose(
      (before) => {
        const next = new URLSearchParams(before);
        if (value === plain) next.delete(name);
        else next.set(name, value);
        return next;
      },
      { replace: true },
    );
  useKeys(words.request.title, [
    { key: "/", does: say.keys.search, run: () => search.current?.querySelector("input")?.focus() },
    ...(mayAsk ? [{ key: "n", does: say.keys.fresh, run: () => go("/requests/new") }] : []),
  ]);
  const fresh = mayAsk && (
    <Link to="/requests/new" look="chief">
      {role === "requester" ? words.request.askPictures : words.request.fresh}
    </Link>
  );
  return (
    <PlaceFrame title={words.request.title} acts={fresh}>
      <div className={css.filters} ref={search}>
        <Search text={text} onChange={(next) => set("text", next, "")} />
        <Choice
          label={say.state}
          options={STATES.map((value) => ({ value, label: say.states[value] }))}
          value={state}
          onChange={(value) => set("state", value, "open")}
        />
        <Choice
          label={say.priority}
          options={[
            { value: "any", label: say.any },
            ...PRIORITIES.map((value) => ({ value, label: words.request.priorities[value] })),
          ]}
          value={priority}
          onChange={(value) => set("priority", value, "any")}
        />
      </div>
      <Answered of={found}>
        {({ requests, more }) => <Found requests={requests} more={more} priority={priority} />}
      </Answered>
    </PlaceFrame>
  );
}

function Search({ text, onChange }: { readonly text: string; readonly onChange: (text: string) => void }) {
  const [typed, setTyped] = useState(text);
  // biome-ignore lint/correctness/useExhaustiveDependencies: only what is typed begins the wait
  useEffect(() => {
    if (typed.trim() === text) return;
    const timer = setTimeout(() => onChange(typed.trim()), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [typed]);
  useEffect(() => setTyped(text), [text]);
  return <Field label={say.search} hint={say.searchHint} value={typed} onChange={setTyped} type="search" />;
}

function Found({
  requests: all,
  more,
  priority,
}: {
  readonly requests: FoundRequests["requests"];
  readonly more: boolean;
  readonly priority: string;
}) {
  const requests = all.filter((one) => priority === "any" || (one.priority ?? "routine") === priority);
  if (requests.length === 0) {
    return (
      <Empty title={say.none}>
        <p>{say.noneHelp}</p>
        <Link to="/requests" look="plain">
          {say.clear}
        </Link>
      </Empty>
    );
  }
  return (
    <>
      <p className="quiet" role="status">
        {say.found(requests.length, all.length - requests.length)}
      </p>
      <table className={css.table}>
        <thead>
          <tr>
            <th scope="col">{say.columns.code}</th>
            <th scope="col">{say.columns.who}</th>
            <th scope="col">{say.columns.what}</th>
            <th scope="col">{say.columns.due}</th>
          </tr>
        </thead>
        <tbody>
          {requests.map(({ id, code, patient, title, dueDate, priority: said }) => (
            <tr key={id}>
              <th scope="row">
                <Link to={`/requests/${code}`}>{code}</Link>
              </th>
              <td>
                {patient ? (
                  <>
                    {patient.name} <span className="quiet">{patient.number}</span>
                  </>
                ) : (
                  <span className="quiet">{say.noPatient}</span>
                )}
              </td>
              <td className={css.title}>{title}</td>
              <td>
                <span className={css.day}>{dueDate ?? say.noDay}</span>
                {said !== null && said !== "routine" && (
                  <strong className={css.urgent}> {words.request.priorities[said as "urgent"]}</strong>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {more && <p>{say.more}</p>}
    </>
  );
}

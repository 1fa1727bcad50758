import type { WholeRequestAnswer } from "@samescale/server";
import { Tab, TabList, TabPanel, Tabs } from "react-aria-components";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { ConsentTab } from "../consent/consent-tab.tsx";
import { PlanTab } from "../plan/plan-tab.tsx";
import { AskedTab } from "./asked-tab.tsx";
import { CardTab } from "./card-tab.tsx";
import { HistoryTab } from "./history-tab.tsx";
import css from "./whole-request.module.css";

const say = words.request.whole;
const ALL = ["asked", "plan", "consent", "card", "history"] as const;
type TabName = (typeof ALL)[number];

const FOR_ROLE: Readonly<Record<string, readonly TabName[]>> = {
  photographer: ALL,
  lead: ALL,
  auditor: ["asked", "plan", "history"],
};
const FOR_OTHERS: readonly TabName[] = ["asked", "plan"];

/** One request: what was asked for, its plan, consent, shot card, what was done to it. */
export function WholeRequest({ code }: { readonly code: string }) {
  const request = useAnswer<WholeRequestAnswer>(`/requests/${encodeURIComponent(code)}`, [
    "request",
    "access",
  ]);
  return (
    <PlaceFrame title={request.data?.patient?.name ?? request.data?.title ?? code}>
      <Answered of={request}>{(whole) => <Whole request={whole} />}</Answered>
    </PlaceFrame>
  );
}

function Whole({ request }: { readonly request: WholeRequestAnswer }) {
  const { role } = useMe();
  const [shown, show] = useSearchParams();
  const tabs = (FOR_ROLE[role] ?? FOR_OTHERS).filter((tab) => tab !== "consent" || role !== "auditor");
  const tab = tabs.find((one) => one === shown.get("show")) ?? "asked";
  const panels: Readonly<Record<TabName, React.ReactNode>> = {
    asked: <AskedTab request={request} />,
    plan: <PlanTab request={request} />,
    consent: <ConsentTab request={request} />,
    card: <CardTab code={request.code} />,
    history: <HistoryTab code={request.code} />,
  };
  return (
    <div className={css.whole}>
      <Identity request={request} />
      <Tabs
        selectedKey={tab}
        onSelectionChange={(key) => show(key === "asked" ? {} : { show: String(key) })}
        className={css.tabs ?? ""}
      >
        <TabList className={css.tabList ?? ""} aria-label={request.code}>
          {tabs.map((one) => (
            <Tab key={one} id={one} className={css.tab ?? ""}>
              {say.tabs[one]}
            </Tab>
          ))}
        </TabList>
        {tabs.map((one) => (
          <TabPanel key={one} id={one} className={css.panel ?? ""}>
            {panels[one]}
          </TabPanel>
        ))}
      </Tabs>
    </div>
  );
}

/** Who, by two identifiers, what for, and where else it is worked on. */
function Identity({
  request: { code, patient, birthDate, title, dueDate, priority, state },
}: {
  readonly request: WholeRequestAnswer;
}) {
  const { role } = useMe();
  const works = role === "photographer" || role === "lead";
  return (
    <header className={css.identity}>
      <p className={css.numbers}>
        {patient && <strong>{patient.number}</strong>}
        {patient && <span>{birthDate === null ? null : say.born(birthDate)}</span>}
        <strong>{code}</strong>
        {dueDate !== null && <span>{say.by(dueDate)}</span>}
        {priority !== null && priority !== "routine" && (
          <strong className={css.urgent}>{words.request.priorities[priority as "urgent"]}</strong>
        )}
        {state !== "open" && <strong className={css.urgent}>{say.state[state]}</strong>}
      </p>
      {patient && <p className={css.title}>{title}</p>}
      {works && (
        <nav className={`${css.ways} not-printed`} aria-label={code}>
          <Link to={`/bedside/${code}`}>{say.ways.bedside}</Link>
          <Link to={`/frames?request=${code}`}>{say.ways.frames}</Link>
          <Link to={`/series/${code}`}>{say.ways.series}</Link>
          <Link to={`/release/${code}`}>{say.ways.release}</Link>
        </nav>
      )}
    </header>
  );
}

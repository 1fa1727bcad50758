import type { SeriesRequest, WholeSeries } from "@samescale/server";
import { useRoute } from "wouter";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Empty } from "../../parts/empty.tsx";
import { Link } from "../../parts/link.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import { useSeriesAddress } from "./address.ts";
import { OneSeries } from "./one-series.tsx";
import css from "./series.module.css";

const { series: say } = words;
const TOPICS = [
  "series",
  "frame",
  "verdict",
  "reading",
  "outline",
  "measurement",
  "visit",
  "request",
  "plan",
];

/** A subject over its visits: the same window at the same scale, what was measured, what changed. */
export default function Series() {
  const [isOne, params] = useRoute("/series/:code");
  return isOne && params ? <Chosen code={params.code} /> : <Choose />;
}

function Chosen({ code }: { readonly code: string }) {
  const [address, change] = useSeriesAddress();
  const query = address.view ? `?view=${encodeURIComponent(address.view)}` : "";
  const series = useAnswer<WholeSeries>(`/series/${encodeURIComponent(code)}${query}`, TOPICS);
  if (series.data) return <OneSeries series={series.data} address={address} change={change} />;
  return (
    <PlaceFrame title={say.title(code)}>
      <Answered of={series}>{() => null}</Answered>
    </PlaceFrame>
  );
}

function Choose() {
  const list = useAnswer<SeriesRequest[]>("/series", ["request", "visit"]);
  return (
    <PlaceFrame title={words.shell.names.series}>
      <Answered of={list}>
        {(requests) =>
          requests.length === 0 ? (
            <Empty title={say.none}>
              <p>{say.noneHelp}</p>
              <Link to="/requests" look="chief">
                {say.toRequests}
              </Link>
            </Empty>
          ) : (
            <section className={css.section} aria-labelledby="requests">
              <h2 id="requests">{say.choose}</h2>
              <ul className={css.requests}>
                {requests.map(({ code, title, visits, lastVisit }) => (
                  <li key={code}>
                    <Link to={`/series/${encodeURIComponent(code)}`}>{code}</Link>
                    <span>{title}</span>
                    <span className="quiet">{say.visits(visits, lastVisit)}</span>
                  </li>
                ))}
              </ul>
            </section>
          )
        }
      </Answered>
    </PlaceFrame>
  );
}

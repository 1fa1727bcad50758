import type { FoundFrames, FrameCard } from "@samescale/server";
import { useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import { ratioSaid, said } from "../figures/said.ts";
import css from "../measure.module.css";
import { maySetOutlines } from "../work/may-measure.ts";

const w = words.measure.choose;
type Show = "open" | "measured" | "all";
const FACET: Readonly<Record<Show, string>> = {
  open: "&measured=not-measured",
  measured: "&measured=measured",
  all: "",
};

/** Which picture to measure in: those that wait first. */
export function Choose() {
  const [search, setSearch] = useSearchParams();
  const mayMeasure = maySetOutlines(useMe());
  const wanted = search.get("show");
  const show: Show = wanted === "measured" || wanted === "all" ? wanted : "open";
  const frames = useAnswer<FoundFrames>(`/frames?frame=picture${FACET[show]}`, [
    "frame",
    "reading",
    "measurement",
    "intake",
    "placing",
  ]);
  return (
    <PlaceFrame
      title={words.shell.names.measure}
      acts={
        mayMeasure && (
          <Link to="/measure/again" look="plain">
            {w.again}
          </Link>
        )
      }
    >
      <div className={css.work}>
        <Choices
          label={w.show}
          value={show}
          onChange={(next) => setSearch(next === "open" ? {} : { show: next })}
          options={[
            { value: "open", label: w.open },
            { value: "measured", label: w.measured },
            { value: "all", label: w.all },
          ]}
        />
        <Answered of={frames}>
          {({ frames: found }) =>
            found.length === 0 ? (
              <Empty title={w.none}>
                <p>{w.noneHelp}</p>
                {mayMeasure && (
                  <Link to="/card" look="chief">
                    {w.toCard}
                  </Link>
                )}
                <Link to="/measure?show=all" look="plain">
                  {w.toAll}
                </Link>
              </Empty>
            ) : (
              <ul className={css.choose}>
                {found.map((frame) => (
                  <li key={frame.frameId}>
                    <Link to={`/measure/${frame.frameId}`}>
                      <Card frame={frame} />
                    </Link>
                  </li>
                ))}
              </ul>
            )
          }
        </Answered>
      </div>
    </PlaceFrame>
  );
}

function Card({ frame }: { readonly frame: FrameCard }) {
  const { request, view, visit, areaMm2, ratioRead, name, sha256 } = frame;
  const area = areaMm2 && said(areaMm2);
  return (
    <span className={css.card}>
      <img src={thumbnailUrl(sha256)} alt="" loading="lazy" decoding="async" />
      <span className={css.cardName}>{request ? `${request.code}, ${view?.name ?? name}` : name}</span>
      <span className="quiet">
        {visit?.date ?? ""}{" "}
        {area
          ? `${area.value} ± ${area.plusMinus} mm²`
          : ratioRead
            ? w.ratio(ratioSaid(ratioRead.value))
            : w.noScale}
      </span>
    </span>
  );
}

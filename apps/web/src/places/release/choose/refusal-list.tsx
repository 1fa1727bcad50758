import type { Refusal } from "@samescale/server";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";

const { choose: say } = words.release;

/** Reasons in the desk's own words, each once, with the pictures that it concerns and the way out. */
export function RefusalList({
  code,
  refusals,
}: {
  readonly code: string;
  readonly refusals: readonly Refusal[];
}) {
  const whys = Map.groupBy(refusals, ({ why }) => why);
  return (
    <ul className={css.refusals}>
      {[...whys].map(([why, of]) => {
        const names = of.flatMap(({ frame }) => frame ?? []);
        return (
          <li key={why}>
            <span>{why}.</span>
            {names.length > 0 && <span className="quiet">{namesText(names)}</span>}
            <WayOut code={code} refusal={of[0]!} />
          </li>
        );
      })}
    </ul>
  );
}

const MOST_NAMES = 6;
const namesText = (names: readonly string[]): string =>
  names.length <= MOST_NAMES
    ? names.join(", ")
    : `${names.slice(0, MOST_NAMES).join(", ")} … ${words.release.pictures(names.length)}`;

/** Where what stands against it can be lifted. */
export function WayOut({ code, refusal }: { readonly code: string; readonly refusal: Refusal }) {
  const at = encodeURIComponent(code);
  const { way, frameId } = refusal;
  if (way === "consent") return <Link to={`/requests/${at}?show=consent`}>{say.askConsent}</Link>;
  if (way === "mask" && frameId) return <Link to={maskAddress(frameId)}>{say.confirmMask}</Link>;
  if (way === "place") return <Link to="/card/waiting">{say.place}</Link>;
  if (way === "take-back") return <Link to={`/frames?request=${at}&aside=yes`}>{say.takeBack}</Link>;
  return null;
}

/** The masks of a picture, with everything that is chosen kept in the address. */
export function maskAddress(frameId: string): string {
  const params = new URLSearchParams(location.search);
  params.set("mask", frameId);
  params.delete("shown");
  return `${location.pathname}?${params}`;
}

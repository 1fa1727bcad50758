import type { FrameCard } from "@samescale/server";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import type { FramesAddress } from "./address.ts";
import css from "./frames.module.css";

const { frames: say } = words;

/** Whose frames these are, and the way back to all. */
export function Where({
  address: { where },
  first,
}: {
  readonly address: FramesAddress;
  readonly first: FrameCard | null;
}) {
  const { request, visit } = where;
  if (!request && !visit) return null;
  const ofRequest = request && `/frames?request=${encodeURIComponent(request)}`;
  return (
    <nav className={css.where} aria-label={say.where}>
      <Link to="/frames">{say.all}</Link>
      {request && visit && <Link to={ofRequest ?? "/frames"}>{say.allOf(request)}</Link>}
      {request && !visit && (
        <strong>
          {request} {first?.request?.code === request ? first.request.title : ""}
        </strong>
      )}
      {visit && <strong>{say.visit(first?.visit?.date ?? null)}</strong>}
    </nav>
  );
}

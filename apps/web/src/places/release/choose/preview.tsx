import type { MetadataGroup, OutgoingPreview, ReleaseUse } from "@samescale/server";
import { useQuery } from "@tanstack/react-query";
import { ask } from "../../../api/client.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";

const { preview: say } = words.release;

/** One picture as it would leave, and what lies beside its pixels before and after. */
export function Preview({
  frameId,
  name,
  use,
  onClose,
}: {
  readonly frameId: string;
  readonly name: string;
  readonly use: ReleaseUse;
  readonly onClose: () => void;
}) {
  const answer = useQuery<OutgoingPreview>({
    queryKey: ["outgoing", frameId, use.scope],
    queryFn: ({ signal }) =>
      ask("POST", `/release/frames/${frameId}/preview`, { scope: use.scope, areas: null }, signal),
    meta: { topics: ["mask", "frame"] },
    // Pictures of patients are not kept for longer than they are looked at.
    gcTime: 0,
  });
  return (
    <section className={css.preview} aria-label={say.title(name)}>
      <div className={css.previewHead}>
        <h3>{say.title(name)}</h3>
        <Button onPress={onClose}>{say.close}</Button>
      </div>
      {answer.isPending ? (
        <p role="status" className="quiet">
          {say.making}
        </p>
      ) : (
        <Answered of={answer}>{(made) => <Made made={made} name={name} use={use} />}</Answered>
      )}
    </section>
  );
}

function Made({
  made,
  name,
  use,
}: {
  readonly made: OutgoingPreview;
  readonly name: string;
  readonly use: ReleaseUse;
}) {
  const size = use.maxSidePx === null ? say.full : say.limit(use.maxSidePx);
  return (
    <>
      <figure className={css.outgoing}>
        <img src={`data:image/jpeg;base64,${made.jpeg}`} alt={say.alt(name)} />
        <figcaption className="quiet">
          {say.size(made.widthPx, made.heightPx)}; {size}.
          {made.masked > 0 && <strong> {say.covered((100 * made.masked).toFixed(1))}.</strong>}
        </figcaption>
      </figure>
      {made.why && (
        <p className={css.why} role="alert">
          {made.why}.
        </p>
      )}
      <div className={css.beforeAfter}>
        <Groups
          title={say.before}
          says={made.originalsGoAlong ? say.beforeGoes : say.beforeSays}
          groups={made.before}
        />
        <Groups title={say.after} groups={made.after} />
      </div>
    </>
  );
}

function Groups({
  title,
  says,
  groups,
}: {
  readonly title: string;
  readonly says?: string;
  readonly groups: readonly MetadataGroup[];
}) {
  return (
    <section aria-label={title}>
      <h4 className={css.groupsTitle}>
        {title}
        {says && <span className="quiet"> · {says}</span>}
      </h4>
      {groups.length === 0 && <p>{say.nothing}</p>}
      {groups.map(({ group, entries, more }) => (
        <details key={group} className={css.group} open={group !== "colour" && entries.length <= 12}>
          <summary>
            {say.groups[group]} <span className="quiet">{say.entries(entries.length + more)}</span>
          </summary>
          <dl>
            {entries.map(({ name, value }, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a file may name an entry twice.
              <div key={`${name} ${i}`}>
                <dt>{name}</dt>
                <dd>{value}</dd>
              </div>
            ))}
          </dl>
          {more > 0 && <p className="quiet">{say.more(more)}</p>}
        </details>
      ))}
    </section>
  );
}

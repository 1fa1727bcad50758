import { type ReactNode, useState } from "react";
import { words } from "../../words/index.ts";
import css from "./series.module.css";

const { series: say } = words;

/** The window all pictures of a series show, in its own proportions, on a neutral ground. */
export function Picture({
  src,
  alt,
  aspect,
}: {
  readonly src: string;
  readonly alt: string;
  readonly aspect: number;
}) {
  const [failed, setFailed] = useState<string | null>(null);
  const [shown, setShown] = useState<string | null>(null);
  return (
    <div className={css.picture} style={{ aspectRatio: aspect }}>
      {failed === src ? (
        <p className="quiet">{words.frames.noPicture}</p>
      ) : (
        <>
          {shown !== src && <p className="quiet">{words.parts.loading}</p>}
          <img
            src={src}
            alt={alt}
            draggable={false}
            onLoad={() => setShown(src)}
            onError={() => setFailed(src)}
          />
        </>
      )}
    </div>
  );
}

/** A length of the subject below its picture, as long as it is there. */
export function ScaleBar({
  pxPerMm,
  widthPx,
}: {
  readonly pxPerMm: number | null;
  readonly widthPx: number;
}) {
  if (pxPerMm === null) return <p className={css.barText}>{say.noScale}</p>;
  const across = widthPx / pxPerMm;
  const mm = [100, 50, 20, 10, 5, 2, 1].find((length) => length <= across / 3) ?? 1;
  return (
    <div className={css.bar} aria-hidden="true">
      <span style={{ width: `${(100 * mm) / across}%` }} />
      {say.bar(mm)}
    </div>
  );
}

export const Legend = ({ children }: { readonly children: ReactNode }) => (
  <div className={css.legend}>{children}</div>
);

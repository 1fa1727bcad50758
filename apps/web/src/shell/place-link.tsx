import { useLocation } from "wouter";
import type { Place } from "./places.ts";
import css from "./shell.module.css";

export function PlaceLink({
  place,
  isHere,
  onGo,
}: {
  readonly place: Place;
  readonly isHere: boolean;
  readonly onGo?: () => void;
}) {
  const [, go] = useLocation();
  return (
    <a
      href={place.path}
      className={css.placeLink}
      aria-current={isHere ? "page" : undefined}
      onClick={(event) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey) return;
        event.preventDefault();
        go(place.path);
        onGo?.();
      }}
    >
      {place.name}
    </a>
  );
}

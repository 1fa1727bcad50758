import type { ReactNode, RefObject } from "react";
import { Button } from "../parts/button.tsx";
import { words } from "../words/index.ts";
import type { Stage } from "./stage.ts";
import css from "./viewer.module.css";

/** How large the picture is shown, below it. */
export function ViewerBar({
  stage,
  scale,
  children,
}: {
  readonly stage: RefObject<Stage | null>;
  readonly scale: number;
  readonly children?: ReactNode;
}) {
  return (
    <div className={`${css.bar} not-printed`}>
      <Button look="bare" aria-label={words.viewer.smaller} onPress={() => stage.current?.zoomBy(0.8)}>
        −
      </Button>
      <output className={css.zoom}>{words.viewer.zoom(Math.round(100 * scale))}</output>
      <Button look="bare" aria-label={words.viewer.larger} onPress={() => stage.current?.zoomBy(1.25)}>
        +
      </Button>
      <Button look="bare" onPress={() => stage.current?.fit()}>
        {words.viewer.fit}
      </Button>
      <Button look="bare" aria-label={words.viewer.pixels} onPress={() => stage.current?.trueSize()}>
        {words.viewer.pixelsShort}
      </Button>
      {children && <div className={css.rest}>{children}</div>}
    </div>
  );
}

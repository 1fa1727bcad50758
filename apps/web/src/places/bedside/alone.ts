import { useEffect } from "react";
import { dimUnlessChosen } from "../../shell/light.ts";

/** While it is shown the work has the whole screen, dim unless the person chose otherwise. */
export function useAlone(): void {
  useEffect(() => {
    const { dataset } = document.documentElement;
    dataset.alone = "";
    const back = dimUnlessChosen();
    return () => {
      delete dataset.alone;
      back();
    };
  }, []);
}

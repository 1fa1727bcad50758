import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Series() {
  return (
    <PlaceFrame title={words.shell.names.series}>
      <Empty title={words.series.empty} />
    </PlaceFrame>
  );
}

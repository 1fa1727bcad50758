import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Measure() {
  return (
    <PlaceFrame title={words.shell.names.measure}>
      <Empty title={words.measure.empty} />
    </PlaceFrame>
  );
}

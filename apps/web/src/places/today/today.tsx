import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Today() {
  return (
    <PlaceFrame title={words.shell.names.today}>
      <Empty title={words.today.empty} />
    </PlaceFrame>
  );
}

import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Release() {
  return (
    <PlaceFrame title={words.shell.names.release}>
      <Empty title={words.release.empty} />
    </PlaceFrame>
  );
}

import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Request() {
  return (
    <PlaceFrame title={words.shell.names.request}>
      <Empty title={words.request.empty} />
    </PlaceFrame>
  );
}

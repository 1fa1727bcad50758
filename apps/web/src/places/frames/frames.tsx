import { Empty } from "../../parts/empty.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";

export default function Frames() {
  return (
    <PlaceFrame title={words.shell.names.frames}>
      <Empty title={words.frames.empty} />
    </PlaceFrame>
  );
}

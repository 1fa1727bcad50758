import type { RehearsalRoom } from "@samescale/server";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { PlaceFrame } from "../../shell/place-frame.tsx";
import { words } from "../../words/index.ts";
import css from "./rehearse.module.css";
import { Room } from "./room.tsx";

/** The virtual camera, for training. */
export default function Rehearse() {
  const room = useAnswer<RehearsalRoom>("/rehearse");
  return (
    <PlaceFrame title={words.shell.names.rehearse}>
      <p className={css.noPatient}>{words.rehearse.noPatient}</p>
      <Answered of={room}>{(answer) => <Room room={answer} />}</Answered>
    </PlaceFrame>
  );
}

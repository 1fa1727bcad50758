import { useMe } from "../../shell/session.tsx";
import { Asker } from "./asker.tsx";
import { DayAtDesk } from "./day-at-desk.tsx";
import { NoPictures } from "./no-pictures.tsx";

/** The morning's one look, for whoever it is. */
export default function Today() {
  const { role } = useMe();
  if (role === "photographer" || role === "lead") return <DayAtDesk />;
  if (role === "administrator" || role === "auditor") return <NoPictures role={role} />;
  return <Asker mayAsk={role === "requester"} />;
}

import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { checkedRequest, type NewRequest, writeRequest } from "./new-request.ts";
import { patientSaid } from "./patient-said.ts";

/** A request filled in by hand. */
export const addRequest = defineAct<NewRequest, { readonly id: string; readonly code: string }>({
  name: "request.add",
  may: [...PHOTOGRAPHERS, "requester"],
  consent: "nothing leaves",
  async run(request, context) {
    const { role, personId = null } = context.actor;
    // The answer to a code that is taken would tell a requester of somebody else's request.
    if (role === "requester" && request.code !== undefined) {
      return { refused: "The department gives a request its code: leave it out" };
    }
    const id = context.newId();
    const checked = await checkedRequest(request, id, context);
    if ("refused" in checked) return checked;
    const patient = await patientSaid(request, context);
    if ("refused" in patient) return patient;
    // A requester asks in their own name, whatever is filled in.
    const requesterId = role === "requester" ? personId : (request.requesterId ?? null);
    const own = { ...request, requesterId, patientId: patient.id };
    await writeRequest(own, id, checked, context);
    const { code } = checked;
    const details = { code, ...(request.sensitive?.length && { sensitive: [...request.sensitive] }) };
    return { value: { id, code }, deed: { act: "request.add", subject: `request/${id}`, details } };
  },
});

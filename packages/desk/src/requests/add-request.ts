import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { checkedRequest, type NewRequest, writeRequest } from "./new-request.ts";

/** A request filled in by hand. */
export const addRequest = defineAct<NewRequest, { readonly id: string; readonly code: string }>({
  name: "request.add",
  may: [...PHOTOGRAPHERS, "requester"],
  consent: "nothing leaves",
  async run(request, context) {
    const id = context.newId();
    const checked = await checkedRequest(request, id, context);
    if ("refused" in checked) return checked;
    // A requester asks in their own name, whatever is filled in.
    const { role, personId = null } = context.actor;
    const own = role === "requester" ? { ...request, requesterId: personId } : request;
    await writeRequest(own, id, checked, context);
    const { code } = checked;
    return { value: { id, code }, deed: { act: "request.add", subject: `request/${id}`, details: { code } } };
  },
});

import { type Desk, rotateSigningKey } from "@samescale/desk";
import { thisPerson } from "../../frame/this-person.ts";
import { saySigned } from "./heads.ts";

/** A new key takes over, and signs the head that tells of it. */
export async function rotate(
  desk: Desk,
  { because, lost, json }: { readonly because: string; readonly lost?: true; readonly json?: true },
): Promise<void> {
  saySigned(await rotateSigningKey(desk, await thisPerson(desk), { because, lost: lost === true }), json);
}

import { userInfo } from "node:os";
import type { Actor, Desk } from "@samescale/desk";

/** Who types: on one's own machine the photographer. */
export async function thisPerson(_desk: Desk): Promise<Actor> {
  return { name: userInfo().username, role: "photographer" };
}

import { userInfo } from "node:os";
import type { Actor } from "@samescale/desk";

/** Who types: on one's own machine the photographer. */
export const thisPerson = (): Actor => ({ name: userInfo().username, role: "photographer" });

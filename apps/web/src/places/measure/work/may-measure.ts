import type { Me } from "@samescale/server";

/** Who is offered the tools; the server decides. */
export const maySetOutlines = ({ role }: Me): boolean => role === "photographer" || role === "lead";

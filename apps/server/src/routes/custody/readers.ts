import type { Role } from "@samescale/desk";

/** Lines of the log name people and tell reasons: for those who work with all of that, or audit it (desk/custody/read-log.ts). */
export const LOG_READERS: readonly Role[] = ["photographer", "lead", "auditor"];

/** What somebody may do follows from the role in which they do it. */
export type Role = "photographer" | "lead" | "requester" | "viewer" | "administrator" | "auditor";

export interface Actor {
  readonly name: string;
  readonly role: Role;
  /** Their account; null in a library of one person without accounts. */
  readonly personId?: string | null;
}

/** Those who make and handle pictures. */
export const PHOTOGRAPHERS: readonly Role[] = ["photographer", "lead"];

/** As the custody log names them. */
export const actorText = (actor: Actor): string => `${actor.role}:${actor.name}`;

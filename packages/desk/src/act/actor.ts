/** What somebody may do follows from the role in which they do it. */
export const ROLES = ["photographer", "lead", "requester", "viewer", "administrator", "auditor"] as const;
export type Role = (typeof ROLES)[number];

export interface Actor {
  readonly name: string;
  readonly role: Role;
  /** Their account; null in a library of one person without accounts. */
  readonly personId?: string | null;
  /** How they signed in: an act of a session that was ended meanwhile is refused. */
  readonly sessionId?: string | null;
}

/** Those who make and handle pictures. */
export const PHOTOGRAPHERS: readonly Role[] = ["photographer", "lead"];

/** Those who meet patients: in an emergency they may open what is hidden from them. */
export const CLINICAL: readonly Role[] = ["photographer", "lead", "requester", "viewer"];

/** As the custody log names them. Names can be alike, an account cannot; no name holds square brackets. */
export const actorText = ({ role, name, personId }: Actor): string =>
  personId == null ? `${role}:${name}` : `${role}:${name} [${personId}]`;

/** The name in what the custody log says of an actor. */
export const nameInLog = (text: string): string => text.replace(/^[a-z]+:/, "").replace(/ \[[^\]]*\]$/, "");

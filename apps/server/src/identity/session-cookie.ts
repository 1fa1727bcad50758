/** Holds the session's token: out of reach of scripts, never sent from other sites. */
export const SESSION_COOKIE = "samescale-session";

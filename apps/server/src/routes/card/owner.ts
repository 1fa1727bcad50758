import type { Actor } from "@samescale/desk";

/** Whose dropped files these are: an account, or whoever works at a machine without accounts. */
export const ownerOf = ({ personId }: Actor): string => personId ?? "this-machine";

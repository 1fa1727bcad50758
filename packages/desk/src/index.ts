export type * from "./contact-sheet/contact-sheet-types.ts";

/** One spelling for one name of a person or a publication. */
export const plainName = (name: string): string => name.normalize("NFC").trim().replace(/\s+/gu, " ");

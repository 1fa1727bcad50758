/** Addresses of pictures. Whether this person may look is asked at the server, every time. */
const of = (sha256: string, what: string) => `/api/pictures/${sha256}/${what}`;

/** JPEG, long side 480 px at most. */
export const thumbnailUrl = (sha256: string): string => of(sha256, "thumbnail");

/** JPEG, long side 2000 px at most. */
export const previewUrl = (sha256: string): string => of(sha256, "preview");

/** For `ask`: below `/api`. */
export const tilesPath = (sha256: string): string => `/pictures/${sha256}/tiles.json`;

export const tileUrl = (sha256: string, level: number, column: number, row: number): string =>
  of(sha256, `tiles/${level}/${column}_${row}.jpg`);

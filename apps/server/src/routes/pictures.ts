import type { Area } from "../deps.ts";

/** Thumbnails, previews and tiles, named by hashes. */
export const picturesRoutes: Area = () => {};

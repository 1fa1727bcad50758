import { dirname, join, resolve } from "node:path";

/** Where what leaves a library is put, unless somebody says otherwise: beside it, under the name `released`. */
export const releasedFolderOf = (libraryFolder: string): string =>
  join(dirname(resolve(libraryFolder)), "released");

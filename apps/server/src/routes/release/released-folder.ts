import { type Desk, releasedFolderOf } from "@samescale/desk";

/** On this server what leaves lies beside the library; nobody in a browser names another place (docs/release.md). */
export const releasedFolder = ({ library }: Desk): string => releasedFolderOf(library.folder);

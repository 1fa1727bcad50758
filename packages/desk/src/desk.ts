import { type Library, type LibraryOptions, openLibrary } from "@samescale/record";

/** The place where the acts of the job are done, over one library. */
export interface Desk {
  readonly library: Library;
  /** False where the library was opened for reading only: nothing can be put on record. */
  readonly isWritable: boolean;
  close(): Promise<void>;
}

/** Opens the desk over a library. @throws SamescaleError as `openLibrary` */
export async function openDesk(folder: string, options: LibraryOptions = {}): Promise<Desk> {
  const library = await openLibrary(folder, options);
  return { library, isWritable: options.mode !== "read", close: () => library.close() };
}

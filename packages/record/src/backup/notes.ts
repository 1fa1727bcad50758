/** Small things with names beside the pieces of a backup place: what it is, and one note per backup. */
export interface Notes {
  /** Null: there is none of this name. */
  read(name: string): Promise<Uint8Array | null>;
  /** Whole or not at all, and known to the disk before it returns; what had the name is replaced. */
  write(name: string, bytes: Uint8Array): Promise<void>;
  /** Names below a folder of notes, sorted. */
  list(folder: string): Promise<string[]>;
}

import { randomBytes } from "node:crypto";
import { open, unlink } from "node:fs/promises";
import { join } from "node:path";
import type { SmallPicture } from "@samescale/picture";

/** A picture that waits in the spool. */
export type SpooledPicture = Omit<SmallPicture, "jpeg"> & { readonly at: number; readonly bytes: number };

/**
 * Where small pictures wait until their card is wholly in: thousands do not fit into memory, and in the store nothing
 * may lie that no row knows. A file without a name, so that nothing of it is left behind by a run that is killed.
 */
export interface Spool {
  add(picture: SmallPicture): Promise<SpooledPicture>;
  bytesOf(picture: SpooledPicture): Promise<Uint8Array>;
  close(): Promise<void>;
}

export async function openSpool(folder: string): Promise<Spool> {
  const path = join(folder, `.waiting-pictures.${randomBytes(8).toString("hex")}`);
  const handle = await open(path, "wx+", 0o600);
  await unlink(path);
  let end = 0;
  return {
    async add({ jpeg, ...picture }) {
      const at = end;
      end += jpeg.length;
      for (let done = 0; done < jpeg.length; ) {
        done += (await handle.write(jpeg, done, jpeg.length - done, at + done)).bytesWritten;
      }
      return { ...picture, at, bytes: jpeg.length };
    },
    async bytesOf({ at, bytes }) {
      const found = Buffer.alloc(bytes);
      for (let done = 0; done < bytes; ) {
        const { bytesRead } = await handle.read(found, done, bytes - done, at + done);
        if (bytesRead === 0) throw new Error("the spool of small pictures was cut off");
        done += bytesRead;
      }
      return found;
    },
    close: () => handle.close(),
  };
}

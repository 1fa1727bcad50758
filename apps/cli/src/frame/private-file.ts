import { open } from "node:fs/promises";
import { CommandFailure } from "./failure.ts";

const MOST_BYTES = 65_536;

/** A file with a secret. @param closedTo mode bits that it may not have; left out: it is for its owner alone */
export async function privateFile(path: string, closedTo = 0o077): Promise<Buffer> {
  const file = await open(path).catch((thrown) => {
    throw CommandFailure.from(thrown, path);
  });
  try {
    const { mode } = await file.stat();
    if (process.getuid !== undefined && (mode & closedTo) !== 0) {
      throw CommandFailure.badArguments(
        `${path}: others on this machine can read it`,
        `Close it: chmod 600 ${path}`,
      );
    }
    const { bytesRead, buffer } = await file.read(Buffer.alloc(MOST_BYTES), 0, MOST_BYTES, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}

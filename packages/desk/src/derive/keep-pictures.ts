import { SMALL_PICTURE_RECIPE, type SmallPicture } from "@samescale/picture";
import { type Library, sha256Of } from "@samescale/record";
import type { ActContext } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import type { Spool, SpooledPicture } from "./spool.ts";

/** What the row of a thumbnail or preview says of its bytes. */
export interface PictureBody {
  readonly sha256: string;
  readonly bytes: number;
  readonly format: "jpeg";
  readonly widthPx: number;
  readonly heightPx: number;
  readonly use: SmallPicture["use"];
}

const AT_ONCE = 8;

/** Puts what waits in the spool into the store of derived pictures; `writePictures` gives it its rows. */
export async function keepPictures(
  library: Library,
  spool: Spool,
  pictures: readonly SpooledPicture[],
): Promise<PictureBody[]> {
  const kept: PictureBody[] = [];
  for (let at = 0; at < pictures.length; at += AT_ONCE) {
    const some = pictures.slice(at, at + AT_ONCE);
    kept.push(...(await Promise.all(some.map((picture) => keepPicture(library, spool, picture)))));
  }
  return kept;
}

async function keepPicture(
  { derived }: Library,
  spool: Spool,
  picture: SpooledPicture,
): Promise<PictureBody> {
  const { use, widthPx, heightPx } = picture;
  const source = {
    name: use,
    async *read() {
      yield await spool.bytesOf(picture);
    },
  };
  const put = await derived.put(source);
  if (put.state === "unreadable") throw put.error;
  return { sha256: put.sha256, bytes: put.bytes, format: "jpeg", widthPx, heightPx, use };
}

/** The rows that tell what was made from which original, and how. */
export async function writePictures(
  { writing, newId, now }: ActContext,
  frameId: string,
  original: string,
  pictures: readonly PictureBody[],
): Promise<void> {
  const { step, version, parameters } = SMALL_PICTURE_RECIPE;
  for (const picture of pictures) {
    const body = jsonText(picture);
    await writing.insert("picture", {
      id: newId(),
      frame_id: frameId,
      request_id: null,
      recipe: jsonText({ step, version, parameters: { use: picture.use, ...parameters[picture.use] } }),
      inputs: jsonText([original]),
      body,
      sha256: sha256Of(body),
      made_at: now,
    });
  }
}

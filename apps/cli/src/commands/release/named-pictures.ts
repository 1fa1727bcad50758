import { type Actor, type Desk, type PictureOfRequest, picturesOfRequest } from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";

/**
 * The pictures that somebody names by file name or id; all of the request when none is named.
 * @throws CommandFailure a name that is nobody's or several pictures'
 */
export async function namedPictures(
  desk: Desk,
  actor: Actor,
  requestId: string,
  names: string | undefined,
): Promise<readonly PictureOfRequest[]> {
  const pictures = await picturesOfRequest(desk, actor, requestId);
  if (names === undefined) return pictures;
  return names.split(",").map((text) => {
    const name = text.trim();
    const stem = name.replace(/\.[A-Za-z0-9]{1,5}$/, "");
    const found = pictures.filter(
      (picture) => picture.frameId === name || [name, stem].includes(picture.name),
    );
    if (found.length === 1) return found[0]!;
    throw CommandFailure.badArguments(
      `${found.length === 0 ? "No picture" : `${found.length} pictures`} of the request: ${JSON.stringify(name)}`,
      "Type a file name or the id, as `samescale mask list` shows them.",
    );
  });
}

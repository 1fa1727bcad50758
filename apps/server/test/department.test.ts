import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { beginLibrary } from "@samescale/desk";
import { POSTGRES_ABSENT, startServers } from "../../../packages/record/test/servers/library-elsewhere.ts";
import type { FoundFrames, FrameAtMeasure, OutlineSaved } from "../src/index.ts";
import { signInEveryRole } from "./accounts.ts";
import { openAppWithWound } from "./wound-frame.ts";

const servers = await startServers();
after(() => servers?.stop());

test("the pages' routes over PostgreSQL and an S3-compatible store: found, looked at, read, outlined", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const folder = await mkdtemp(join(tmpdir(), "samescale-department-"));
  t.after(() => rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 }));
  const library = join(folder, "library");
  await beginLibrary(library, await servers.freshPlaces());
  const at = await openAppWithWound(library);
  t.after(() => at.app.close());
  const as = await signInEveryRole(at);
  const ask = async <Answer>(method: "GET" | "POST", path: string, payload?: object): Promise<Answer> => {
    const { statusCode, rawPayload, headers } = await at.app.inject({
      method,
      url: `/api/${path}`,
      headers: { ...as.photographer },
      ...(payload && { payload }),
    });
    assert.equal(statusCode, 200, `${path}: ${rawPayload.toString().slice(0, 300)}`);
    const isJson = String(headers["content-type"]).includes("json");
    return (isJson ? JSON.parse(rawPayload.toString()) : rawPayload) as Answer;
  };

  const { frames } = await ask<FoundFrames>("GET", "frames?frame=picture");
  assert.deepEqual(
    frames.map(({ frameId }) => frameId),
    [at.frameId],
  );
  await ask("GET", "today");
  for (const picture of ["thumbnail", "preview", "tiles/10/1_1.jpg"]) {
    const jpeg = await ask<Buffer>("GET", `pictures/${at.sha256}/${picture}`);
    assert.equal(jpeg.toString("hex", 0, 3), "ffd8ff", picture);
  }
  const { reading } = await ask<FrameAtMeasure>("POST", `measure/frames/${at.frameId}/reading`, { said: {} });
  assert.ok(reading?.scale.found);
  const steps = [{ do: "click", at: at.within, inside: true }];
  const outlined = { steps, readingSha256: reading.sha256, isBlind: false };
  // The first try is told what it would measure; as a page, which works with the same pixels, has seen before.
  const refused = await at.app.inject({
    method: "POST",
    url: `/api/measure/frames/${at.frameId}/outline`,
    headers: { ...as.photographer },
    payload: { ...outlined, areaMm2: 1 },
  });
  const areaMm2 = Number(refused.json<{ message: string }>().message.match(/([\d.]+) mm²/)?.[1]);
  const { now } = await ask<OutlineSaved>("POST", `measure/frames/${at.frameId}/outline`, {
    ...outlined,
    areaMm2,
  });
  const area = now.measurement!.regions[0]!.areaMm2;
  assert.ok(Math.abs(area.value - at.areaMm2) < area.u95, `${area.value} ± ${area.u95}, truth ${at.areaMm2}`);
});

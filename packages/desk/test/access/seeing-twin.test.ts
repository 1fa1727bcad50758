import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { seenFrames, seenRequests } from "../../src/access/seeing.ts";
import { type Actor, ROLES } from "../../src/act/actor.ts";
import { freshDesk } from "../support.ts";

/** What the tables hold, as plain objects. */
interface Request {
  readonly id: string;
  readonly sensitive: string | null;
  readonly requester_id: string | null;
  readonly access: readonly string[];
}
interface Frame {
  readonly id: string;
  readonly request_id: string | null;
  readonly sensitive: string | null;
}
interface Grant {
  readonly actor: string;
  readonly request_id: string;
  readonly made_at: string;
  readonly until: string;
}
interface World {
  readonly requests: readonly Request[];
  readonly frames: readonly Frame[];
  readonly grants: readonly Grant[];
}

/** The rules of docs/people.md, one after the other, without a query. */
function letIn({ grants }: World, { personId }: Actor, request: Request, now: string): boolean {
  if (personId == null) return false;
  if (request.requester_id === personId || request.access.includes(personId)) return true;
  const own = grants.filter((grant) => grant.actor === personId && grant.request_id === request.id);
  return own.some((grant) => grant.made_at <= now && now < grant.until);
}

function knowsOf(world: World, actor: Actor, request: Request, now: string): boolean {
  switch (actor.role) {
    case "photographer":
    case "lead":
    case "auditor":
      return true;
    case "administrator":
      return false;
    case "viewer":
      return request.sensitive === null || letIn(world, actor, request, now);
    case "requester":
      return letIn(world, actor, request, now);
  }
}

function looksAt(world: World, actor: Actor, frame: Frame, now: string): boolean {
  if (actor.role === "administrator" || actor.role === "auditor") return false;
  if (actor.role === "photographer" || actor.role === "lead") return true;
  const request = world.requests.find(({ id }) => id === frame.request_id);
  if (!request || !knowsOf(world, actor, request, now)) return false;
  return frame.sensitive === null || letIn(world, actor, request, now);
}

const PERSONS = ["P0", "P1", "P2", "P3", "P4", "P5"];
const HOURS = ["08", "10", "12", "14", "16", "18"].map((hour) => `2026-03-15T${hour}:00:00.000Z`);

function worldOf(seed: number): World {
  const random = seededRandom(seed);
  const one = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
  const often = (share: number) => random() < share;
  const requests = Array.from({ length: 40 }, (_, i) => ({
    id: `r${i}`,
    sensitive: often(0.5) ? '["child"]' : null,
    requester_id: often(0.6) ? one(PERSONS) : null,
    access: PERSONS.filter(() => often(0.1)),
  }));
  const frames = Array.from({ length: 90 }, (_, i) => ({
    id: `f${i}`,
    request_id: often(0.9) ? one(requests).id : null,
    sensitive: often(0.3) ? '["intimate"]' : null,
  }));
  const grants = Array.from({ length: 30 }, () => {
    const from = Math.floor(random() * (HOURS.length - 1));
    const to = from + 1 + Math.floor(random() * (HOURS.length - 1 - from));
    return { actor: one(PERSONS), request_id: one(requests).id, made_at: HOURS[from]!, until: HOURS[to]! };
  });
  return { requests, frames, grants };
}

test("who sees what, by the query and by the rules one after the other, over made-up departments", async (t) => {
  let seen = 0;
  for (const seed of [1, 2]) {
    const desk = await freshDesk(t);
    const world = worldOf(seed);
    await desk.library.write("test", async (writing) => {
      const card = { card_path: "c", begun_at: HOURS[0]!, finished_at: null, abandoned_because: null };
      const clock = { clock_offset_s: null, clock_because: null, clock_by: null };
      await writing.insert("intake", { id: "i1", ...card, ...clock });
      for (const { access, ...request } of world.requests) {
        await writing.insert("request", {
          ...{ ...request, code: request.id, patient_id: null, kind: "non-clinical", due_date: null },
          ...{ state: "open", details: "{}", made_at: HOURS[0]! },
          access: access.length === 0 ? null : JSON.stringify(access),
        });
      }
      for (const frame of world.frames) {
        await writing.insert("frame", {
          ...{ ...frame, intake_id: "i1", folder: "", name: frame.id, position: 1, kind: "picture" },
          ...{ taken_raw: null, taken_camera: null, taken_at: null, clock: "none", codes: null },
          ...{ visit_id: null, placed_by: null, placing: "", flags: "[]" },
        });
      }
      for (const [i, grant] of world.grants.entries()) {
        const open = { because: "x", reviewed_by: null, reviewed_at: null, review: null };
        await writing.insert("access_grant", { id: `g${i}`, ...grant, ...open });
      }
      return { value: null, deed: { act: "test.made", subject: "test/1" } };
    });
    const read = desk.library.read;
    for (const role of ROLES) {
      for (const personId of [null, "P9", ...PERSONS]) {
        for (const now of HOURS) {
          const actor: Actor = { name: "x", role, personId };
          const who = `seed ${seed}, ${role} ${personId} at ${now}`;
          const requests = await read
            .selectFrom("request")
            .select("id")
            .where(seenRequests(actor, now))
            .execute();
          const frames = await read.selectFrom("frame").select("id").where(seenFrames(actor, now)).execute();
          const known = world.requests.filter((one) => knowsOf(world, actor, one, now));
          const looked = world.frames.filter((one) => looksAt(world, actor, one, now));
          assert.deepEqual(
            requests.map(({ id }) => id).toSorted(),
            known.map(({ id }) => id).toSorted(),
            who,
          );
          assert.deepEqual(frames.map(({ id }) => id).toSorted(), looked.map(({ id }) => id).toSorted(), who);
          seen += looked.length;
        }
      }
    }
  }
  assert.ok(seen > 5_000, `${seen} looks were allowed: the departments are not empty`);
});

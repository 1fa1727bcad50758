/** Run beside others by a test: `requester.process.ts LIBRARY COUNT`: adds requests and reads the list after each. */
import { openDesk } from "../../src/desk.ts";
import { addRequest } from "../../src/requests/add-request.ts";
import { listRequests } from "../../src/requests/list-requests.ts";

const [folder = "", count = "0"] = process.argv.slice(2);
const desk = await openDesk(folder);
const actor = { name: "ward seven", role: "requester" } as const;
process.stdout.write("begun\n");
for (let nth = 1; nth <= Number(count); nth++) {
  const outcome = await addRequest(desk, actor, { patientId: null, kind: "non-clinical" });
  const listed = await listRequests(desk, { name: "lead", role: "lead" }, "open");
  const own = listed.filter(({ kind }) => kind === "non-clinical").length;
  process.stdout.write(`${JSON.stringify({ ...outcome, nth, own })}\n`);
}
await desk.close();

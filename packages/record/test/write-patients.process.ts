/** Run beside itself by a test: `write-patients.process.ts LIBRARY NAME COUNT`. */
import { openLibrary } from "../src/index.ts";

const [folder = "", name = "", count = "0"] = process.argv.slice(2);
const library = await openLibrary(folder);
for (let at = 0; at < Number(count); at++) {
  await library.write(`photographer:${name}`, async (writing) => {
    const id = library.newId();
    const made_at = library.clock().toISOString();
    const number = `${name}-${at}`;
    await writing.insert("patient", {
      id,
      number,
      authority: "H",
      name,
      birth_date: null,
      details: "{}",
      made_at,
    });
    return { value: id, deed: { act: "patient.add", subject: `patient/${id}` } };
  });
}
await library.close();

import assert from "node:assert/strict";
import { copyFileSync, existsSync, mkdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { test } from "node:test";
import { createPicturePool } from "@samescale/picture";
import { addPatient } from "../../src/patients/add-patient.ts";
import { freshDesk, MARA, takeAll, temporaryFolder } from "../support.ts";

const photographs = resolve(import.meta.dirname, "../../../../../shared/data/barcodes");

test("real photographs of codes come in with the codes that were published beside them", async (t) => {
  if (!existsSync(photographs)) return t.skip("no ../shared/data beside this checkout");
  const { items } = JSON.parse(readFileSync(join(photographs, "truth.json"), "utf8")) as {
    items: { file: string; text: string }[];
  };
  const wanted = ["qrcode-1_1.png", "datamatrix-2_01.png", "code128-2_01.png"];
  const card = join(await temporaryFolder(t), "card");
  mkdirSync(card);
  for (const file of wanted) copyFileSync(join(photographs, file), join(card, file));
  const desk = await freshDesk(t);
  // The text of one of them is a patient's number here: without a request code it places nothing.
  const number = items.find((item) => item.file === "code128-2_01.png")?.text ?? "";
  await addPatient(desk, MARA, { number, authority: "H", name: "Ada", birthDate: null });
  const pool = createPicturePool(1);
  t.after(() => pool.close());
  await takeAll(desk, [card], { pictures: pool });
  const frames = await desk.library.read.selectFrom("frame").selectAll().execute();
  for (const file of wanted) {
    const frame = frames.find((one) => file.startsWith(`${one.name}.`));
    const texts = items.filter((item) => item.file === file).map((item) => item.text);
    assert.deepEqual(JSON.parse(frame?.codes ?? "null"), texts, file);
    assert.equal(frame?.request_id, null);
  }
  assert.match(
    frames.find((one) => one.name === "code128-2_01")?.placing ?? "",
    /choose the request by hand/,
  );
});

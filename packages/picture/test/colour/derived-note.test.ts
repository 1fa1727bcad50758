import assert from "node:assert/strict";
import { test } from "node:test";
import { noteInXmp, xmpWithNote } from "../../src/colour/derived-note.ts";

const NOTE = {
  recipe: { step: "colour", version: 2, parameters: { by: "chart", odd: `<&>"'` } },
  inputs: ["ab".repeat(32)],
};
const OTHER = `<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title>left heel</dc:title></rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>`;

test("the note comes back as it went in, beside whatever the packet held", () => {
  assert.deepEqual(noteInXmp(xmpWithNote(null, NOTE)), { ...NOTE, before: null });
  const both = xmpWithNote(OTHER, NOTE);
  assert.ok(both.includes("left heel") && both.endsWith(`<?xpacket end="w"?>`));
  assert.deepEqual(noteInXmp(both), { ...NOTE, before: null });
});

test("a second correction keeps the first as what was before, once", () => {
  const twice = xmpWithNote(xmpWithNote(OTHER, NOTE), { ...NOTE, inputs: ["cd".repeat(32)] });
  assert.equal(noteInXmp(twice)?.before?.inputs[0], NOTE.inputs[0]);
  assert.equal(twice.match(/samescale:made/g)?.length, 1);
});

test("a packet that is none, or holds nonsense in our place, is no note", () => {
  assert.equal(noteInXmp(""), null);
  assert.equal(noteInXmp(OTHER), null);
  const broken = xmpWithNote(null, NOTE).replace("&quot;step&quot;", "&quot;stop&quot;");
  assert.equal(noteInXmp(broken), null);
  assert.equal(noteInXmp(xmpWithNote(null, NOTE).replace("{&quot;", "{")), null);
});

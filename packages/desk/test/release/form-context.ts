import type { Desk } from "../../src/index.ts";
import type { FormContext, OutgoingFile, OutgoingFrame } from "../../src/release/form.ts";
import { SCOPE_RULES } from "../../src/release/scope-rules.ts";
import { MARA, NOON } from "../made-up.ts";

/** What the exit gives a form, of one invented request; a test says what differs. */
export const formContext = (changes: Partial<FormContext> = {}): FormContext => ({
  releaseId: "01RELEASE",
  mark: "A7K2",
  scope: "health-record",
  rules: SCOPE_RULES["health-record"],
  to: "Dr B. Example, plastic surgery",
  purpose: "treatment",
  publication: null,
  expiresOn: null,
  patient: {
    id: "01PATIENT",
    number: "HN10001",
    authority: "Fernhill (invented)",
    name: "Ada Example",
    family: "Example",
    given: "Ada",
    birthDate: "1950-02-03",
  },
  pseudonym: null,
  request: {
    id: "01REQUEST",
    code: "R-1",
    title: "Leg wound",
    kind: "clinical",
    parts: [{ part: "lower leg", side: "left" }],
  },
  frames: [],
  consents: [],
  evidence: null,
  now: NOON.toISOString(),
  actor: MARA,
  ...changes,
});

/** One frame as it may leave. */
export const outgoingFrame = (
  jpeg: Uint8Array,
  size: { widthPx: number; heightPx: number },
  changes: Partial<OutgoingFrame> = {},
): OutgoingFrame => {
  const picture = { jpeg, ...size, pxPerOriginalPx: 1, masked: 0 };
  return {
    number: 1,
    name: "A7K2-001",
    frameId: "01FRAME",
    original: "ab".repeat(32),
    originalName: null,
    takenAt: "2026-03-15T09:00:00",
    day: "2026-03-15",
    view: {
      key: "close",
      name: "Close-up",
      part: "lower leg",
      side: "left",
      aspect: "close with scale",
      mirrored: false,
      identifiable: false,
    },
    camera: null,
    reading: null,
    outline: null,
    measurement: null,
    picture: async () => picture,
    jpegAsCoded: async () => picture,
    originals: [],
    ...changes,
  };
};

export async function allFiles(files: AsyncIterable<OutgoingFile>): Promise<Map<string, Buffer>> {
  const read = new Map<string, Buffer>();
  for await (const { name, bytes } of files) {
    const parts: Uint8Array[] = [];
    if (bytes instanceof Uint8Array) parts.push(bytes);
    else for await (const part of bytes) parts.push(part);
    read.set(name, Buffer.concat(parts));
  }
  return read;
}

/** The evidence context of what lies in a library. */
export async function evidenceContext(desk: Desk, requestId: string): Promise<FormContext> {
  const { library } = desk;
  const rows = await library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id", "file.sha256", "file.name", "file.bytes", "file.format"])
    .where("frame.request_id", "=", requestId)
    .orderBy("frame.position")
    .execute();
  const frames = [...Map.groupBy(rows, ({ id }) => id)].map(([frameId, files], i) =>
    outgoingFrame(
      new Uint8Array(),
      { widthPx: 1, heightPx: 1 },
      {
        number: i + 1,
        frameId,
        original: files[0]!.sha256,
        originals: files.map((file) => ({ ...file, open: () => library.originals.open(file.sha256) })),
      },
    ),
  );
  const { request } = formContext();
  return formContext({
    scope: "evidence",
    rules: SCOPE_RULES.evidence,
    request: { ...request, id: requestId },
    frames,
    evidence: library,
  });
}

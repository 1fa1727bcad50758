import assert from "node:assert/strict";
import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { dicomMeasurements } from "../../src/dicom/measurement-report.ts";
import { dicomPhotograph } from "../../src/dicom/photograph.ts";
import { jpeg, missing, photograph, study } from "./support.ts";

const ORTHANC = "/usr/sbin/Orthanc";
const skip = existsSync(ORTHANC)
  ? missing("storescu", "dcmtk")
  : "Orthanc is not on this machine (Debian package orthanc)";
const folder = mkdtempSync(join(tmpdir(), "samescale-orthanc-"));
let server: ChildProcess | null = null;
after(async () => {
  if (server !== null && server.exitCode === null) {
    const ended = new Promise((resolve) => server!.once("exit", resolve));
    server.kill("SIGTERM");
    await ended;
  }
  rmSync(folder, { recursive: true, force: true });
});

const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const listener = createServer().listen(0, "127.0.0.1", () => {
      const { port } = listener.address() as { port: number };
      listener.close(() => resolve(port));
    });
  });

async function startOrthanc(): Promise<{ readonly http: string; readonly dicomPort: number }> {
  const [httpPort, dicomPort] = [await freePort(), await freePort()];
  const configuration = join(folder, "orthanc.json");
  writeFileSync(
    configuration,
    JSON.stringify({
      Name: "test",
      StorageDirectory: join(folder, "storage"),
      IndexDirectory: join(folder, "storage"),
      HttpPort: httpPort,
      DicomPort: dicomPort,
      RemoteAccessAllowed: false,
      AuthenticationEnabled: false,
      DicomAlwaysAllowStore: true,
      Plugins: [],
    }),
  );
  server = spawn(ORTHANC, [configuration], { stdio: "ignore" });
  const http = `http://127.0.0.1:${httpPort}`;
  for (let tries = 0; tries < 150; tries++) {
    try {
      if ((await fetch(`${http}/system`)).ok) return { http, dicomPort };
    } catch {
      // not yet listening
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error("Orthanc did not begin to listen within 15 s");
}

test("Orthanc takes photograph and report by C-STORE and gives the JPEG back as it was", {
  skip,
}, async () => {
  const { http, dicomPort } = await startOrthanc();
  const picture = await jpeg(640, 480);
  const made = await dicomPhotograph(study, photograph(picture));
  const outlinePx = [
    [10, 10],
    [100, 12],
    [90, 80],
  ] as const;
  const numbers = { value: 31, u95: 0.4 };
  const region = {
    image: made,
    ids: ["01OUTLINE", "0"],
    label: "Region 1",
    part: "lower leg",
    side: "left" as const,
    outlinePx,
    areaMm2: numbers,
    perimeterMm: numbers,
    lengthMm: numbers,
    lengthEndsPx: [outlinePx[0], outlinePx[1]] as const,
    widthMm: numbers,
    widthEndsPx: [outlinePx[1], outlinePx[2]] as const,
    method: "By the plane of the scale.",
  };
  const report = await dicomMeasurements(study, {
    ids: ["1"],
    madeAt: "2026-06-01T10:00:00Z",
    regions: [region],
  });
  const [image, sr] = [join(folder, "image.dcm"), join(folder, "report.dcm")];
  writeFileSync(image, made.bytes);
  writeFileSync(sr, report);
  // -xy proposes JPEG baseline for the photograph, so that nothing is decoded on the way.
  execFileSync("storescu", ["-R", "-xy", "127.0.0.1", String(dicomPort), image]);
  execFileSync("storescu", ["-R", "127.0.0.1", String(dicomPort), sr]);

  const json = async <Body>(path: string) => (await (await fetch(http + path)).json()) as Body;
  const bytes = async (path: string) => Buffer.from(await (await fetch(http + path)).arrayBuffer());
  const [studyId, ...others] = await json<string[]>("/studies");
  assert.equal(others.length, 0, "both objects are of one study");
  const { PatientMainDicomTags } = await json<{ PatientMainDicomTags: Record<string, string> }>(
    `/studies/${studyId}`,
  );
  assert.equal(PatientMainDicomTags.PatientName, "Zoë Ångström^");
  const instances = await json<{ ID: string; MainDicomTags: Record<string, string> }[]>(
    `/studies/${studyId}/instances`,
  );
  assert.equal(instances.length, 2);
  const stored = instances.find(({ MainDicomTags }) => MainDicomTags.SOPInstanceUID === made.sopInstanceUid)!;
  const frame = await bytes(`/instances/${stored.ID}/frames/0/raw`);
  assert.ok(frame.subarray(0, picture.length).equals(picture));
  const preview = await fetch(`${http}/instances/${stored.ID}/preview`);
  assert.equal(preview.status, 200);
});

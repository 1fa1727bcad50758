import { type Camera, standardCamera } from "../camera/camera.ts";
import type { Scene } from "../scene/scene.ts";
import type { CardPlan, FramePlan, Planted } from "./card-plan.ts";
import { demoDepartment } from "./department.ts";
import { labelScene } from "./subjects.ts";

export interface DemoOptions {
  /** What a label's code says; the form is docs/label-code.md. */
  readonly labelText?: (requestCode: string, patientNumber: string | null) => string;
}

/** As docs/label-code.md has it. */
export const labelTextOf = (requestCode: string, patientNumber: string | null): string =>
  patientNumber === null ? `SR1:${requestCode}` : `SR1:${requestCode}:${patientNumber}`;

/** White balance and exposure as somebody left them that day: what makes visits differ in colour. */
const LEFT_AT: Readonly<Record<string, Partial<Camera>>> = {
  "CARD-B": { whiteBalanceK: 4900, exposureStops: 0.15 },
  "CARD-C": { whiteBalanceK: 6200 },
  "CARD-D": { whiteBalanceK: 5200, exposureStops: -0.2 },
};

/** What a card is filled by. */
export interface Adding {
  label(requestCode: string, at: string): void;
  /** The same, but the photographer forgot the label: only the time moves on. */
  unlabelled(requestCode: string, at: string): void;
  /** @param afterS seconds after the frame before */
  view(
    viewKey: string,
    afterS: number,
    scene: Scene,
    camera: Partial<Camera>,
    outlined?: string | null,
    planted?: readonly Planted[],
  ): void;
}

/** A card of one body and its clock, filled frame by frame. */
export function filledCard(
  key: string,
  body: "one" | "two",
  firstNumber: number,
  clockOffsetS: number,
  labelText: (requestCode: string, patientNumber: string | null) => string,
  fill: (add: Adding) => void,
): CardPlan {
  const department = demoDepartment();
  const frames: FramePlan[] = [];
  let at = new Date(0);
  let request = department.requests[0]!;
  const push = (
    camera: Partial<Camera>,
    frame: Omit<
      FramePlan,
      | "fileName"
      | "requestCode"
      | "patientNumber"
      | "visitDate"
      | "viewSet"
      | "trueTakenAt"
      | "camera"
      | "seed"
      | "superseded"
    >,
  ): void => {
    const number = firstNumber + frames.length;
    const trueTakenAt = at.toISOString().slice(0, 19);
    const shown = new Date(at.getTime() + clockOffsetS * 1000).toISOString();
    frames.push({
      ...frame,
      fileName: `VC01${String(number).padStart(4, "0")}.JPG`,
      requestCode: request.code,
      patientNumber: request.patientNumber,
      visitDate: trueTakenAt.slice(0, 10),
      viewSet: request.viewSet,
      trueTakenAt,
      superseded: false,
      planted:
        clockOffsetS === 0 ? frame.planted : [...frame.planted, { fault: "clock", offsetS: clockOffsetS }],
      camera: standardCamera({
        model: body === "one" ? "Virtual One" : "Virtual Two",
        serial: body === "one" ? "100417" : "200093",
        takenAt: `${shown.slice(0, 10).replaceAll("-", ":")} ${shown.slice(11, 19)}`,
        ...LEFT_AT[key],
        ...camera,
      }),
      seed: number * 101 + key.charCodeAt(5),
    });
  };
  const begin = (requestCode: string, when: string): void => {
    request = department.requests.find(({ code }) => code === requestCode)!;
    at = new Date(`${when}Z`);
  };
  fill({
    label(requestCode, when) {
      begin(requestCode, when);
      const lines = linesOf(requestCode);
      const scene = labelScene(
        lines,
        labelText(requestCode, request.patientNumber),
        firstNumber + frames.length,
      );
      const camera = { magnification: 0.2, rollDeg: (frames.length % 3) - 1, leanXDeg: 3 };
      push(camera, { shows: "label", viewKey: null, outlined: null, planted: [], scene });
    },
    unlabelled: begin,
    view(viewKey, afterS, scene, camera, outlined = null, planted = []) {
      at = new Date(at.getTime() + afterS * 1000);
      push(camera, { shows: "view", viewKey, outlined, planted, scene });
    },
  });
  return { key, folder: "DCIM/100VC___", clockOffsetS, frames: markSuperseded(frames) };
}

/** A frame followed by another of the same view was made again. */
const markSuperseded = (frames: readonly FramePlan[]): FramePlan[] =>
  frames.map((frame, i) => {
    const next = frames[i + 1];
    const again =
      frame.viewKey !== null && next?.viewKey === frame.viewKey && next.requestCode === frame.requestCode;
    return { ...frame, superseded: again };
  });

function linesOf(requestCode: string): string[] {
  const department = demoDepartment();
  const request = department.requests.find(({ code }) => code === requestCode)!;
  const patient = department.patients.find(({ number }) => number === request.patientNumber);
  const who = patient
    ? [`${patient.familyName.toUpperCase()}, ${patient.givenName}`, `born ${patient.born}`, patient.number]
    : ["STAFF NOTICE", "no patient"];
  return [...who, request.part, `${requestCode}   Fernhill Infirmary`];
}

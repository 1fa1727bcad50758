export { checkCharacter } from "./check-character.ts";
export {
  type Bar,
  type Lettering,
  type MarkerDesign,
  type MarkerEdge,
  markerDesign,
  type XY,
} from "./design.ts";
export {
  codeTextOf,
  MARKER_KINDS,
  type MarkerKind,
  newScaleId,
  parseScaleId,
  type ScaleId,
  scaleOfCode,
} from "./scale-id.ts";

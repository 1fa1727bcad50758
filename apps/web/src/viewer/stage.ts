import type { PictureTiles } from "@samescale/server";
import OpenSeadragon from "openseadragon";
import { tileUrl } from "./picture-url.ts";
import type { SeenPart } from "./shared-view.ts";

/** A place in the upright picture, px, origin at the outer corner of the top left pixel. */
export interface Place {
  readonly x: number;
  readonly y: number;
}

/** What a pointer does on the picture. */
export interface StageEvents {
  /** The part that is seen changed: where the picture's corner lies on the element, and screen px per picture px. */
  seen(left: number, top: number, scale: number): void;
  /** Somebody takes hold of this one. */
  taken(): void;
  click(at: Place, isShifted: boolean): void;
  /** @returns whether the drag is this tool's: the view then stays where it is */
  press(at: Place, isShifted: boolean): boolean;
  drag(at: Place): void;
  release(at: Place): void;
  /** A second finger: what was begun is none. */
  cancel(): void;
}

/** The picture on the screen: its tiles, moved and enlarged. Coordinates are upright picture px. */
export interface Stage {
  readonly scale: number;
  zoomBy(factor: number, about?: Place): void;
  panBy(dxShare: number, dyShare: number): void;
  fit(): void;
  trueSize(): void;
  /** Moves the view as little as it takes to see this place well within it. */
  reveal(at: Place): void;
  middle(): Place;
  at(clientX: number, clientY: number): Place;
  /** @param unit of the shared view per picture px */
  part(unit: number): SeenPart;
  showPart(part: SeenPart, unit: number): void;
  close(): void;
}

/** Below this level a tile is smaller than a thumbnail. */
const LEAST_LEVEL = 7;
/** Near the edge nobody sees where a point falls. */
const MARGIN = 0.12;

/** The library would put a style of its own into the page, which the page's policy refuses; ours stands in its place. */
function takePlaceOfItsStyle(): void {
  if (document.querySelector("style[data-openseadragon-mobile-css]")) return;
  const style = document.createElement("style");
  style.dataset.openseadragonMobileCss = "";
  style.nonce = document.querySelector<HTMLElement>("meta[property=csp-nonce]")?.nonce ?? "";
  document.head.append(style);
}

/** Opens a picture in an element, by tiles. Nothing is drawn over it: controls are elsewhere. */
export function openStage(
  element: HTMLElement,
  sha256: string,
  { widthPx, heightPx, tilePx, levels }: PictureTiles,
  events: StageEvents,
): Stage {
  takePlaceOfItsStyle();
  const isStill = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const gestures = { clickToZoom: false, dblClickToZoom: false, flickEnabled: false };
  const viewer = new OpenSeadragon.Viewer({
    element,
    drawer: "canvas",
    showNavigationControl: false,
    showNavigator: false,
    animationTime: isStill ? 0 : 0.15,
    blendTime: 0,
    immediateRender: false,
    minZoomImageRatio: 0.8,
    maxZoomPixelRatio: 12,
    visibilityRatio: 0.3,
    zoomPerScroll: 1.25,
    tabIndex: -1,
    clickTimeThreshold: 1500,
    tileRetryMax: 5,
    tileRetryDelay: 1500,
    gestureSettingsMouse: gestures,
    gestureSettingsTouch: { ...gestures, pinchRotate: false },
    gestureSettingsPen: gestures,
    tileSources: {
      width: widthPx,
      height: heightPx,
      tileSize: tilePx,
      tileOverlap: 0,
      minLevel: Math.min(LEAST_LEVEL, levels - 1),
      maxLevel: levels - 1,
      getTileUrl: (level: number, column: number, row: number) => tileUrl(sha256, level, column, row),
    },
  });
  const { viewport } = viewer;
  const point = (x: number, y: number) => new OpenSeadragon.Point(x, y);
  const placeOf = (position: OpenSeadragon.Point): Place => {
    const { x, y } = viewport.viewerElementToImageCoordinates(position);
    return { x, y };
  };
  const scaleNow = () => viewport.viewportToImageZoom(viewport.getZoom(true));
  const middleOf = (now: boolean): Place => {
    const { x, y } = viewport.getCenter(now);
    return { x: x * widthPx, y: y * widthPx };
  };

  let pressed: { readonly at: Place; readonly isShifted: boolean } | null = null;
  let isTools = false;
  const tell = () => {
    if (!viewer.world.getItemCount()) return;
    const corner = viewport.imageToViewerElementCoordinates(point(0, 0));
    events.seen(corner.x, corner.y, scaleNow());
  };
  viewer.addHandler("open", tell);
  viewer.addHandler("update-viewport", tell);
  viewer.addHandler("resize", () => requestAnimationFrame(tell));
  viewer.addHandler("canvas-press", ({ position, originalEvent }) => {
    events.taken();
    pressed = { at: placeOf(position), isShifted: (originalEvent as PointerEvent).shiftKey };
  });
  // A press becomes a drag when the pointer moves; else it is a click.
  viewer.addHandler("canvas-drag", (event) => {
    if (pressed) isTools = events.press(pressed.at, pressed.isShifted);
    pressed = null;
    if (!isTools) return;
    event.preventDefaultAction = true;
    events.drag(placeOf(event.position));
  });
  viewer.addHandler("canvas-release", ({ position }) => {
    if (isTools) events.release(placeOf(position));
    isTools = false;
    pressed = null;
  });
  viewer.addHandler("canvas-pinch", () => {
    if (isTools) events.cancel();
    isTools = false;
    pressed = null;
  });
  viewer.addHandler("canvas-scroll", () => events.taken());
  viewer.addHandler("canvas-click", ({ position, quick, originalEvent }) => {
    if (quick) events.click(placeOf(position), (originalEvent as PointerEvent).shiftKey);
  });
  // The page has keys of its own.
  viewer.addHandler("canvas-key", (event) => {
    event.preventDefaultAction = true;
  });

  return {
    get scale() {
      return scaleNow();
    },
    zoomBy(factor, about) {
      viewport.zoomBy(factor, about && viewport.imageToViewportCoordinates(point(about.x, about.y)));
      viewport.applyConstraints();
    },
    panBy(dxShare, dyShare) {
      const { width, height } = viewport.getBounds();
      viewport.panBy(point(dxShare * width, dyShare * height));
      viewport.applyConstraints();
    },
    fit: () => void viewport.goHome(),
    trueSize() {
      viewport.zoomTo(viewport.imageToViewportZoom(1));
      viewport.applyConstraints();
    },
    reveal(at) {
      const seen = viewport.viewportToImageRectangle(viewport.getBounds());
      const [mx, my] = [MARGIN * seen.width, MARGIN * seen.height];
      const off = (v: number, from: number, to: number) => (v < from ? v - from : v > to ? v - to : 0);
      const dx = off(at.x, seen.x + mx, seen.x + seen.width - mx);
      const dy = off(at.y, seen.y + my, seen.y + seen.height - my);
      if (dx !== 0 || dy !== 0) viewport.panBy(point(dx / widthPx, dy / widthPx));
    },
    middle: () => middleOf(true),
    at(clientX, clientY) {
      const { left, top } = element.getBoundingClientRect();
      return placeOf(point(clientX - left, clientY - top));
    },
    part(unit) {
      const { x, y } = middleOf(true);
      const { width } = viewport.getBounds(true);
      return {
        x: (x - widthPx / 2) * unit,
        y: (y - heightPx / 2) * unit,
        width: width * widthPx * unit,
      };
    },
    showPart({ x, y, width }, unit) {
      viewport.zoomTo(widthPx / (width / unit), undefined, true);
      viewport.panTo(point((x / unit + widthPx / 2) / widthPx, (y / unit + heightPx / 2) / widthPx), true);
    },
    close: () => viewer.destroy(),
  };
}

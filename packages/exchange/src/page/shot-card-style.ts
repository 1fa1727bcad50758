import { FIGURE_PX } from "./figure-svg.ts";

/**
 * Colours are those of docs/look.md for a dim ward, whatever the phone is set to. Numbers are larger than their labels,
 * targets 48 px and more, readable at 360 px.
 */
export const shotCardStyle = `
:root { color-scheme: dark; --ground: #1e1f20; --panel: #292a2c; --text: #ececea; --quiet: #b4b5b3; --line: #7a7c80; --accent: #f0b13c; --keep: #6cb8e6; }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 560px; background: var(--ground); color: var(--text); font: 17px/1.4 "Atkinson Hyperlegible Next", sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
header { padding: 16px 16px 8px; }
h1 { font-size: 32px; line-height: 1.1; margin: 0; }
h2 { font-size: 20px; margin: 2px 0 0; }
h3 { font-size: 19px; line-height: 1.2; margin: 0; }
p { margin: 4px 0 0; }
.quiet { color: var(--quiet); font-size: 16px; }
.code { display: block; width: 216px; max-width: 100%; margin: 12px 0 0; padding: 20px; background: #fff; border-radius: 4px; }
.code svg { display: block; width: 100%; height: auto; fill: #000; }
.cautions { list-style: none; margin: 12px 16px; padding: 4px 0; border: 2px solid var(--accent); border-radius: 4px; }
.cautions li { padding: 4px 12px 4px 32px; position: relative; }
.cautions li::before { content: "!"; position: absolute; left: 14px; font-weight: 700; color: var(--accent); }
.usual { margin: 12px 16px; }
.views { list-style: none; margin: 0; padding: 0 8px 8px; }
.view { background: var(--panel); border-radius: 4px; margin: 8px 0; }
.view label { display: grid; grid-template-columns: 48px minmax(0, 1fr); gap: 0 8px; align-items: center; min-height: 56px; padding: 8px 12px 0 8px; cursor: pointer; }
.view input { appearance: none; width: 32px; height: 32px; margin: 8px; border: 2px solid var(--line); border-radius: 4px; background: var(--ground); cursor: pointer; }
.view input:checked { border-color: var(--keep); background: var(--keep); }
.view input:checked::after { content: ""; display: block; width: 9px; height: 17px; margin: 2px auto; border: solid var(--ground); border-width: 0 4px 4px 0; transform: rotate(45deg); }
.view:has(input:checked) h3 { color: var(--quiet); }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
.body { display: grid; grid-template-columns: ${FIGURE_PX.width}px minmax(0, 1fr); gap: 12px; padding: 4px 12px 12px; align-items: start; }
.ratio { font-size: 38px; line-height: 1.05; font-weight: 700; margin: 0; }
.numbers { font-size: 21px; line-height: 1.2; font-weight: 700; margin: 4px 0 0; }
.notes { grid-column: 1 / -1; }
.notes p:first-child { margin-top: 0; }
.body svg { width: ${FIGURE_PX.width}px; height: ${FIGURE_PX.height}px; fill: none; stroke: currentColor; stroke-linecap: round; stroke-linejoin: round; }
.body svg .outside { color: var(--line); stroke: var(--line); opacity: 0.7; }
.body svg .ground { fill: var(--panel); stroke: none; }
.body svg .thing { fill: var(--panel); }
.body svg text { fill: currentColor; stroke: none; font-weight: 700; text-anchor: middle; }
.refused { margin: 8px 16px; padding: 0; list-style: none; }
.refused li { margin: 8px 0; }
footer { padding: 8px 16px 88px; color: var(--quiet); font-size: 16px; }
.made { position: fixed; left: 0; right: 0; bottom: 0; background: var(--panel); border-top: 1px solid var(--line); }
.made div { max-width: 560px; margin: 0 auto; min-height: 56px; padding: 4px 8px 4px 16px; display: flex; align-items: center; }
.made output { font-size: 21px; font-weight: 700; }
`;

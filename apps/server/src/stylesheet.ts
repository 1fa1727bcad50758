/**
 * Colours are those of docs/look.md: a neutral surround, one amber accent, blue against orange for keep and repeat, each with
 * its own shape. Text 4.5:1 or more, lines 3:1 or more.
 */
export const stylesheet = `
@font-face { font-family: "Atkinson Hyperlegible Next"; src: url(/font.woff2) format("woff2"); font-weight: 400; font-display: swap; }
@font-face { font-family: "Atkinson Hyperlegible Next"; src: url(/font-bold.woff2) format("woff2"); font-weight: 700; font-display: swap; }
:root {
  color-scheme: dark;
  --ground: #1e1f20; --panel: #292a2c; --surround: #3a3b3c; --text: #ececea; --quiet: #b4b5b3; --line: #7a7c80;
  --accent: #f0b13c; --keep: #6cb8e6; --repeat: #f08a4b;
}
@media (prefers-color-scheme: light) {
  :root {
    color-scheme: light;
    --ground: #e7e7e5; --panel: #f6f6f4; --surround: #9c9d9c; --text: #1d1e1f; --quiet: #54565a; --line: #8a8b88;
    --accent: #7a4f00; --keep: #005f94; --repeat: #a84600;
  }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--ground); color: var(--text); font: 18px/1.4 "Atkinson Hyperlegible Next", sans-serif;
  font-variant-numeric: tabular-nums; display: grid; grid-template-columns: 260px minmax(0, 1fr); }
header { padding: 24px 20px; position: sticky; top: 0; align-self: start; max-height: 100vh; overflow: auto; }
main { padding: 24px 24px 64px; }
h1 { font-size: 26px; margin: 0 0 4px; }
h2 { font-size: 24px; margin: 0 0 8px; }
h3 { font-size: 19px; margin: 24px 0 8px; }
h4 { font-size: 18px; margin: 0 0 4px; }
p { margin: 0 0 8px; }
section { margin-bottom: 48px; scroll-margin-top: 16px; }
.quiet { color: var(--quiet); font-weight: 400; font-size: 16px; }
nav ul, ul.frames { list-style: none; margin: 0; padding: 0; }
nav a { display: block; min-height: 40px; padding: 8px 8px; color: var(--text); text-decoration: none; border-radius: 4px; }
nav a .quiet { display: block; }
nav a:hover { background: var(--panel); text-decoration: underline; }
nav a.waiting { color: var(--accent); font-weight: 700; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
a.card { color: var(--accent); display: inline-block; min-height: 32px; line-height: 32px; }
.skip { position: absolute; left: -9999px; }
.skip:focus { left: 8px; top: 8px; background: var(--panel); color: var(--text); padding: 12px; z-index: 1; }
ul.frames { display: grid; grid-template-columns: repeat(auto-fill, minmax(300px, 1fr)); gap: 16px; }
.frame { background: var(--panel); border-radius: 4px; overflow: hidden; display: flex; flex-direction: column; }
.frame img { display: block; width: 100%; height: auto; aspect-ratio: 3 / 2; object-fit: contain; background: var(--surround); }
.facts { padding: 12px 16px 8px; }
dl { margin: 0 0 8px; display: flex; flex-wrap: wrap; gap: 4px 20px; }
dt { color: var(--quiet); font-size: 15px; }
dd { margin: 0; font-size: 21px; font-weight: 700; }
.missing { color: var(--repeat); }
.verdict { font-weight: 700; display: flex; align-items: center; gap: 8px; }
.verdict.keep { color: var(--keep); }
.verdict.repeat { color: var(--repeat); }
.mark { width: 14px; height: 14px; flex: none; border: 2px solid currentColor; }
.keep .mark { border-radius: 50%; background: currentColor; }
.repeat .mark { border-radius: 50%; border-right-color: transparent; }
.not-judged .mark { border-style: dashed; border-radius: 50%; }
@media (max-width: 760px) { body { grid-template-columns: 1fr; } header { position: static; max-height: none; } }
@media print { body { display: block; color: #000; background: #fff; } nav { display: none; } .frame { break-inside: avoid; border: 1px solid #000; } }
`;

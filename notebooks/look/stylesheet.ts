import { colours, narrowUpTo, nightColours, space, type } from "../../src/report/design/tokens.ts";

/** Width of a notebook's column, px: room for controls beside a chart, and for tables of a dozen columns. */
const wide = 920;

const variables = (palette: Readonly<Record<string, string>>): string =>
  Object.entries(palette)
    .map(([name, colour]) => `--${name}:${colour}`)
    .join(";");

const base = `
:root{color-scheme:light dark;${variables(colours)}}
@media (prefers-color-scheme:dark){:root{${variables(nightColours)}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:${type.body}px/1.5 ${type.family};font-variant-numeric:tabular-nums lining-nums;overflow-wrap:break-word}
header.house,main,footer.house{max-width:${wide}px;margin:0 auto;padding:0 ${space.three}px}
header.house{display:flex;flex-wrap:wrap;align-items:baseline;gap:0 ${space.three}px;padding-top:${space.two}px;padding-bottom:${space.two}px;font-size:${type.small}px}
header.house .name{font-weight:650;color:var(--ink);text-decoration:none}
header.house ul{list-style:none;display:flex;flex-wrap:wrap;gap:0 ${space.two}px;margin:0;padding:0}
header.house a{display:inline-block;padding:${space.one}px 0}
header.house [aria-current]{color:var(--ink);text-decoration:none;box-shadow:inset 0 -2px var(--ink)}
footer.house{font-size:${type.small}px;color:var(--quiet);padding-top:${space.three}px;padding-bottom:${space.six}px}
h1{font-size:${type.title}px;line-height:1.2;margin:${space.two}px 0;font-weight:650;letter-spacing:-.01em;text-wrap:balance}
h2{font-size:${type.heading}px;line-height:1.3;margin:${space.four}px 0 ${space.two}px;font-weight:650;text-wrap:balance}
h3{font-size:${type.body}px;margin:${space.three}px 0 ${space.one}px;font-weight:650}
p,ul,ol{margin:0 0 ${space.two}px;max-width:640px}
h1 a,h2 a,h3 a{color:inherit;text-decoration:none}
a{color:var(--accent);text-underline-offset:2px}
code,pre,textarea{font-family:ui-monospace,"Cascadia Mono",Menlo,Consolas,monospace;font-size:${type.small}px}
pre{white-space:pre-wrap;background:var(--wash);padding:${space.two}px;margin:0 0 ${space.two}px;overflow-wrap:anywhere}
.skip{position:absolute;left:-9999px;top:0}
.skip:focus{left:${space.two}px;top:${space.two}px;background:var(--paper);padding:${space.one}px ${space.two}px;z-index:1}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
[hidden]{display:none!important}
.heard{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.quiet{color:var(--quiet);font-size:${type.small}px}
.observablehq--inspect{font-family:ui-monospace,Menlo,Consolas,monospace;font-size:${type.small}px}
.observablehq--error{border:2px solid var(--ink);padding:${space.one}px ${space.two}px}
`;

const controls = `
button,select,textarea,input{font:inherit;color:inherit}
button,.button{display:inline-flex;align-items:center;justify-content:center;min-height:44px;padding:${space.one}px ${space.two}px;border:1px solid var(--ink);border-radius:4px;background:var(--paper);color:var(--ink);cursor:pointer;text-decoration:none;font-size:${type.body}px}
button:hover,.button:hover{background:var(--wash)}
button.first{background:var(--accent);border-color:var(--accent);color:var(--paper);font-weight:650}
button.first:hover{background:var(--ink);border-color:var(--ink)}
button:disabled{color:var(--quiet);border-color:var(--hairline);cursor:default;background:var(--paper)}
.buttons{display:flex;align-items:center;flex-wrap:wrap;gap:${space.one}px;margin:0 0 ${space.two}px}
.controls{display:grid;grid-template-columns:repeat(auto-fill,minmax(210px,1fr));gap:${space.one}px ${space.two}px;margin:0 0 ${space.three}px;padding:${space.two}px 0;border-top:1px solid var(--hairline);border-bottom:1px solid var(--hairline)}
.controls label{display:block;font-size:${type.small}px;color:var(--quiet)}
select,textarea{width:100%;min-height:44px;padding:${space.one}px;border:1px solid var(--quiet);border-radius:4px;background:var(--paper);color:var(--ink)}
textarea{min-height:9em;resize:vertical;line-height:1.5}
`;

const figures = `
figure{margin:0 0 ${space.two}px}
figure svg{display:block;max-width:100%;height:auto;overflow:visible;font-family:inherit;background:none}
figcaption{font-size:${type.small}px;color:var(--quiet);margin-top:${space.one}px;max-width:640px}
details{margin:0 0 ${space.one}px}
summary{cursor:pointer;font-size:${type.small}px;color:var(--accent);padding:${space.one}px 0}
.table{overflow-x:auto;margin:0 0 ${space.two}px;max-height:70vh}
table{border-collapse:collapse;font-size:${type.small}px;line-height:1.4;width:100%;max-width:none}
th,td{padding:${space.half}px ${space.one}px;text-align:left;vertical-align:top;border-bottom:1px solid var(--hairline)}
th:first-child,td:first-child{padding-left:0}
thead th{position:sticky;top:0;background:var(--paper);border-bottom:1px solid var(--ink);font-weight:650;vertical-align:bottom}
td.n,th.n{text-align:right}
td.n,td.s,th{white-space:nowrap}
.caution{border:2px solid var(--ink);padding:${space.one}px ${space.two}px;margin:0 0 ${space.three}px;max-width:640px}
.caution h2,.caution p{margin:0;font-size:${type.small}px}
.note{border-left:3px solid var(--ink);padding:0 0 0 ${space.two}px;margin:0 0 ${space.two}px;max-width:640px}
.note p:last-child{margin:0}
`;

const ownSheets = `
.drop{border:2px dashed var(--quiet);border-radius:4px;padding:${space.four}px ${space.three}px;margin:0 0 ${space.two}px;background:var(--wash)}
.drop.over{border-color:var(--accent);border-style:solid}
.drop p{margin:0 0 ${space.two}px}
.drop .buttons{margin:0}
progress{display:block;width:100%;height:${space.one}px;accent-color:var(--accent);margin:0 0 ${space.one}px}
.sheet{display:block;width:100%;height:min(80vh,1000px);border:1px solid var(--hairline);background:#fff;color-scheme:light;margin:0 0 ${space.two}px}
.text{max-height:min(80vh,1000px);overflow:auto}
.ask{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,300px);gap:${space.three}px}
.dictionary{max-height:80vh;overflow:auto;font-size:${type.small}px}
.dictionary summary{padding:${space.half}px 0}
.dictionary h2{margin-top:0}
.dictionary details{margin:0}
.dictionary dl{margin:0 0 ${space.one}px}
.dictionary dt button{all:unset;cursor:pointer;color:var(--accent);font-family:ui-monospace,Menlo,Consolas,monospace}
.dictionary dt button:focus-visible{outline:3px solid var(--accent)}
.dictionary dd{margin:0 0 ${space.half}px;color:var(--quiet)}
@media (max-width:${narrowUpTo}px){
header.house,main,footer.house{padding-left:${space.two}px;padding-right:${space.two}px}
h1{font-size:24px}
.drop{padding:${space.two}px}
.drop button{width:100%}
.ask{grid-template-columns:minmax(0,1fr)}
.dictionary{max-height:none}
}
`;

/** The one stylesheet of every notebook, made from the same tokens as the pages. */
export const stylesheet = [base, controls, figures, ownSheets]
  .map((part) => part.replaceAll("\n", ""))
  .join("");

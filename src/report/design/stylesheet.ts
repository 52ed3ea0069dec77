import { chartType, colours, columnWidth, narrowUpTo, space, type } from "./tokens.ts";

const PX_PER_POINT = 96 / 72;

const wide = columnWidth + 2 * space.three;

/** Width of a chart in print, px: its type then is the small type of a printed page. */
const printChart = (columnWidth * type.printSmall * PX_PER_POINT) / chartType.size;

const base = `
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:${colours.paper};color:${colours.ink};font:${type.body}px/1.5 ${type.family};font-variant-numeric:tabular-nums lining-nums;overflow-wrap:break-word}
main,header.page,footer.page{max-width:${wide}px;margin:0 auto;padding:0 ${space.three}px}
header.page{padding-top:${space.three}px}
h1{font-size:${type.title}px;line-height:1.2;margin:0 0 ${space.two}px;font-weight:650;letter-spacing:-.01em}
h2{font-size:${type.heading}px;line-height:1.3;margin:0 0 ${space.two}px;font-weight:650;text-wrap:balance}
h3{font-size:${type.body}px;margin:${space.three}px 0 ${space.one}px;font-weight:650}
p,ul,ol,dl{margin:0 0 ${space.two}px}
ul,ol{padding-left:1.25em}
li{margin-bottom:${space.half}px}
a{color:${colours.accent};text-underline-offset:2px}
a:focus-visible,summary:focus-visible,.table:focus-visible{outline:3px solid ${colours.accent};outline-offset:2px}
.skip{position:absolute;left:-9999px;top:0}
.skip:focus{left:${space.two}px;top:${space.two}px;background:${colours.paper};padding:${space.one}px ${space.two}px}
.question{font-size:${type.small}px;color:${colours.quiet};margin:0 0 ${space.half}px}
.rests{font-size:${type.small}px;color:${colours.quiet};margin:${space.half}px 0 ${space.two}px}
`;

const top = `
.facts{font-size:${type.small}px;display:grid;grid-template-columns:max-content 1fr;gap:2px ${space.two}px;margin:0 0 ${space.two}px;padding:${space.one}px 0;border-top:1px solid ${colours.hairline};border-bottom:1px solid ${colours.hairline}}
.facts dt{margin:0;color:${colours.quiet}}
.facts dd{margin:0}
.facts a{color:inherit}
nav{font-size:${type.small}px;margin:0 0 ${space.three}px}
nav ul{list-style:none;padding:0;margin:0;display:flex;flex-wrap:wrap;gap:0 ${space.two}px}
nav li{margin:0}
nav a{display:inline-block;padding:${space.half}px 0}
section{margin:0 0 ${space.six}px}
section.answer{margin-bottom:${space.four}px}
section.answer ul,section.answer ol{padding-left:0;list-style:none;margin:0}
section.answer li{padding:${space.one}px 0;margin:0;border-bottom:1px solid ${colours.hairline}}
section.answer li:first-child{border-top:1px solid ${colours.hairline}}
section.answer li a{color:inherit;text-decoration-color:${colours.hairline};text-decoration-thickness:1px}
section.answer li a:hover{text-decoration-color:${colours.accent}}
.cautions{border:2px solid ${colours.ink};padding:${space.one}px ${space.two}px;margin:0 0 ${space.three}px;break-inside:avoid}
.cautions{font-size:${type.small}px}
.cautions div{padding:${space.one}px 0}
.cautions div+div{border-top:1px solid ${colours.hairline}}
@media print{.cautions:not(.grave):has(div:nth-child(3)){display:grid;grid-template-columns:1fr 1fr;column-gap:${space.three}px}.cautions:not(.grave):has(div:nth-child(3))>div:nth-child(2){border-top:0}}
.cautions h2{font-size:${type.body}px;margin:0}
.cautions p,.cautions ul{margin:0}
.cautions.grave{border-width:5px;font-size:${type.body}px}
.cautions.grave h2{font-size:${type.heading}px}
.note{border-left:3px solid ${colours.ink};padding:0 0 0 ${space.two}px;margin:0 0 ${space.two}px;font-size:${type.small}px;break-inside:avoid}
.note p:last-child{margin:0}
`;

const figures = `
figure{margin:0 0 ${space.two}px;break-inside:avoid}
figure svg{display:block;width:100%;height:auto;font-family:inherit;overflow:visible}
figcaption{font-size:${type.small}px;color:${colours.quiet};margin-top:${space.half}px}
.narrow{display:none}
.small{display:grid;grid-template-columns:repeat(auto-fill,minmax(280px,1fr));gap:${space.one}px ${space.two}px}
details{margin:0 0 ${space.two}px}
summary{cursor:pointer;font-size:${type.small}px;color:${colours.accent};padding:${space.half}px 0;min-height:${space.three}px}
.table{overflow-x:auto;margin:0 0 ${space.two}px}
table{border-collapse:collapse;font-size:${type.small}px;line-height:1.4;width:100%}
caption{text-align:left;color:${colours.quiet};padding:0 0 ${space.half}px}
th,td{padding:${space.half}px ${space.one}px;text-align:left;vertical-align:top;border-bottom:1px solid ${colours.hairline}}
th:first-child,td:first-child{padding-left:0}
th:last-child,td:last-child{padding-right:0}
thead th{border-bottom:1px solid ${colours.ink};font-weight:650;vertical-align:bottom}
tbody th{font-weight:650}
thead th:first-child{text-align:left}
@media screen and (min-width:${narrowUpTo + 1}px){tbody th.again{font-size:0}}
@media print{tbody th.again{font-size:0}}
td.n,th.n{text-align:right}
td.n,td.s,tbody th[scope=row].s{white-space:nowrap}
caption.heard{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
td svg,th svg{display:block}
#checklist tbody th::before{content:"";display:inline-block;width:.8em;height:.8em;margin-right:.6em;border:1px solid ${colours.ink};vertical-align:-.05em}
tr,.keep,.few{break-inside:avoid}
footer.page{font-size:${type.small}px;color:${colours.quiet};padding-bottom:${space.six}px}
.paste{border:1px solid ${colours.hairline};padding:${space.two}px}
.paste p:last-child{margin:0}
`;

const workList = `
main.wide,header.page.wide,footer.page.wide{max-width:1080px}
table.barn .pen{font-size:${type.heading}px;border:0;padding:${space.one}px 0}
table.barn tfoot td{border:0;padding:${space.one}px 0;color:${colours.quiet}}
table.barn tbody th,table.barn tbody td,table.barn thead .names th{border:1px solid ${colours.quiet};padding:${space.half}px ${space.one}px}
table.barn .tag{font-size:${type.body}px}
table.barn{table-layout:fixed}
table.barn .c1{width:11%}
table.barn .c2{width:8%}
table.barn .c3{width:39%}
table.barn .c4{width:7%}
table.barn thead .names th{padding:${space.half}px}
table.barn .blank{font-weight:400;hyphens:auto}
table.barn strong{display:block}
`;

const animals = `
.goat{break-inside:avoid;margin:0 0 ${space.three}px;padding:${space.one}px 0 0;border-top:1px solid ${colours.ink}}
.goat h2{font-size:${type.heading}px;margin:0}
.goat p,.key p{font-size:${type.small}px;margin:0 0 ${space.half}px}
.rows{display:grid;grid-template-columns:max-content 1fr;gap:0 ${space.one}px;font-size:${type.small}px}
.rows span{display:block;height:22px;line-height:22px;color:${colours.quiet}}
.rows .gait{height:34px;line-height:46px}
.rows .mark{height:18px;line-height:18px}
.rows>.lines{position:relative}
.rows svg{position:absolute;width:100%;height:100%}
.strip{display:block;width:160px}
.ends{display:flex;justify-content:space-between;font-size:${type.small}px;color:${colours.quiet};padding-left:120px;white-space:nowrap}
.goat path,.strip path{vector-effect:non-scaling-stroke;fill:none}
.h{stroke:${colours.hairline};stroke-width:1}
.d{stroke:${colours.quiet};stroke-width:1;stroke-dasharray:4 3}
.l{stroke:${colours.accent};stroke-width:1.5}
.t{stroke:${colours.ink};stroke-width:1.5}
.s{stroke:${colours.quiet};stroke-width:1}
.b{stroke:${colours.ink};stroke-width:3}
.w{fill:${colours.wash}}
`;

const handout = `
.handout section{margin-bottom:${space.three}px}
.handout li{margin-bottom:${space.one}px}
@media print{
.handout section,.handout figure{margin-bottom:2mm}
.handout,.handout+footer{font-size:9.5pt}
.handout h2{margin-bottom:1mm}
.handout li{margin-bottom:.5mm}
.handout ul{margin-bottom:1mm}
.handout .wide-chart{max-width:320px}
}
`;

const phone = `
@media screen and (max-width:${narrowUpTo}px){
main,header.page,footer.page{padding-left:${space.two}px;padding-right:${space.two}px}
h1{font-size:24px}
.facts{grid-template-columns:1fr}
.facts dt{margin-top:${space.half}px}
.wide-chart{display:none}
.narrow{display:block}
.barn,.barn thead,.barn tbody,.barn tfoot,.barn tr,.barn th,.barn td,.stack,.stack caption:not(.heard),.stack tbody,.stack tr,.stack tbody th,.stack td{display:block;width:100%}
.barn thead .names,.barn .blank,.stack thead{display:none}
.barn tbody tr,.stack tbody tr{border-bottom:1px solid ${colours.quiet};padding:${space.one}px 0}
.barn tbody th.tag,.barn tbody td,.stack tbody th,.stack td{border:0;padding:0;text-align:left;white-space:normal}
.stack td:empty,.barn td:empty{display:none}
.barn td[data-name]::before,.stack td[data-name]::before{content:attr(data-name) ": ";color:${colours.quiet}}
}
`;

const print = `
@page{margin:18mm 14mm 16mm}
@media print{
body{font-size:${type.printBody}pt;line-height:1.4}
main,header.page,footer.page,main.wide,header.page.wide,footer.page.wide{max-width:none;padding:0}
h1{font-size:18pt}
h2{font-size:13pt}
h1,h2,h3,.question,caption,summary{break-after:avoid;break-inside:avoid}
.cautions{font-size:${type.printSmall}pt}
.cautions div{padding:1mm 0}
.cautions h2{font-size:${type.printBody}pt}
.rests,.question,.facts,nav,.note,figcaption,table,footer.page,.goat p{font-size:${type.printSmall}pt}
nav,.skip,.screen{display:none}
a{color:inherit;text-decoration:none}
section{margin-bottom:7mm}
.wide-chart{max-width:${printChart}px}
figure svg{max-height:215mm}
figure:has(.small){break-inside:auto}
.small>div{break-inside:avoid}
.small{grid-template-columns:1fr 1fr}
.small:has(>div:nth-child(9)){grid-template-columns:1fr 1fr 1fr}
.table{overflow:visible}
.keep:has(+.table){break-after:avoid}
footer.page{margin-top:4mm}
thead{display:table-header-group;break-after:avoid;break-inside:avoid}
tbody tr:first-child{break-before:avoid}
tfoot{display:table-footer-group}
p,li{orphans:3;widows:3}
details{display:none}
.end-tables{columns:2;column-gap:8mm}
.end-tables .wide{column-span:all}
.end-tables>div:has(.few){break-inside:avoid}
#sensitivity table{font-size:8pt;line-height:1.25}
.end-tables table{font-size:8pt;line-height:1.25}
.end-tables th,.end-tables td{padding:.5mm 1mm}
.end-tables h3{font-size:${type.printSmall}pt;margin:3mm 0 1mm}
.end-tables .table{margin-bottom:2mm}
.rows span{height:15px;line-height:15px;font-size:8pt}
.rows .gait{height:26px;line-height:36px}
.rows .mark{height:13px;line-height:13px}
.ends{font-size:8pt}
.goat{margin-bottom:4mm}
.goat h2{font-size:${type.printBody}pt}
section.pen{break-before:page}
section:has(.barn){margin:0}
main:has(.barn)+footer{display:none}
table.barn tbody.whole{break-inside:avoid}
table.barn tbody.whole tr:first-child{break-before:auto;break-after:avoid}
table.barn{font-size:${type.printSmall}pt;line-height:1.25}
table.barn thead .names th{padding:1mm .5mm;font-size:7.5pt}
table.barn tbody td{padding:.8mm 1mm;font-size:8.5pt;line-height:1.2}
table.barn .pen{font-size:13pt}
table.barn tbody th.tag{height:14.4mm}
table.barn tbody th,table.barn tbody td{border-color:${colours.ink}}
table.barn tbody th.tag{font-size:12pt}
}
`;

/** The one stylesheet of every page, made from the tokens. */
export const stylesheet = [base, top, figures, workList, animals, phone, print, handout]
  .map((part) => part.replaceAll("\n", ""))
  .join("");

/** What stands in the margin of every printed page. */
export interface PrintHead {
  /** Flock and season. */
  readonly left: string;
  /** For whom. */
  readonly right: string;
  /** Words around the page's number and the number of pages: `page`, `of`. */
  readonly page: string;
  readonly of: string;
}

/** Heads and feet of printed pages, as a style of its own since each page has its own words. */
export function printHeads({ left, right, page, of }: PrintHead): string {
  const look = `font:${type.printSmall}pt ${type.family};color:${colours.quiet}`;
  return [
    `@page{@top-left{content:${cssText(left)};${look}}`,
    `@top-right{content:${cssText(right)};${look}}`,
    `@bottom-right{content:${cssText(`${page} `)} counter(page) ${cssText(` ${of} `)} counter(pages);${look}}}`,
  ].join("");
}

/** A text as a CSS string: every character that could end it, or the style element, is escaped (CSS Syntax 3, 4.3.7). */
function cssText(text: string): string {
  const escaped = Array.from(text, (character) =>
    /[\p{L}\p{N} .,()·-]/u.test(character) ? character : `\\${character.codePointAt(0)!.toString(16)} `,
  );
  return `"${escaped.join("")}"`;
}

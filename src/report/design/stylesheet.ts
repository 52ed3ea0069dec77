import { colours, columnWidth, space, type } from "./tokens.ts";

/** The one stylesheet of every page, made from the tokens. */
export const stylesheet = `
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:${colours.paper};color:${colours.ink};font:${type.body}px/1.5 ${type.family};font-variant-numeric:tabular-nums lining-nums}
main,header.page,footer.page{max-width:${columnWidth + 2 * space.three}px;margin:0 auto;padding:0 ${space.three}px}
header.page{padding-top:${space.four}px}
h1{font-size:${type.title}px;line-height:1.2;margin:0 0 ${space.one}px;font-weight:650;letter-spacing:-.01em}
h2{font-size:${type.heading}px;line-height:1.3;margin:0 0 ${space.one}px;font-weight:650}
h3{font-size:${type.body}px;margin:${space.three}px 0 ${space.half}px;font-weight:650}
p,ul,ol,dl{margin:0 0 ${space.two}px}
ul,ol{padding-left:1.25em}
li{margin-bottom:${space.half}px}
a{color:${colours.accent};text-underline-offset:2px}
a:focus-visible,summary:focus-visible{outline:3px solid ${colours.accent};outline-offset:2px}
.skip{position:absolute;left:-9999px}
.skip:focus{left:${space.two}px;top:${space.two}px;background:${colours.paper};padding:${space.one}px}
.question{font-size:${type.small}px;color:${colours.quiet};margin:0 0 ${space.half}px}
.rests{font-size:${type.small}px;color:${colours.quiet};margin:${space.half}px 0 ${space.two}px}
.lead{font-size:${type.body}px}
.facts{font-size:${type.small}px;color:${colours.quiet};display:grid;grid-template-columns:max-content 1fr;gap:${space.half}px ${space.two}px;margin:${space.two}px 0 ${space.three}px;padding:${space.two}px 0;border-top:1px solid ${colours.hairline};border-bottom:1px solid ${colours.hairline}}
.facts dt{margin:0}
.facts dd{margin:0;color:${colours.ink}}
section{margin:0 0 ${space.six}px}
section.answer{margin-bottom:${space.four}px}
section.answer li{margin-bottom:${space.one}px}
.caution{border:2px solid ${colours.ink};padding:${space.two}px;margin:0 0 ${space.two}px;break-inside:avoid}
.caution h2{margin:0 0 ${space.half}px}
.caution p:last-child{margin-bottom:0}
.note{background:${colours.wash};padding:${space.two}px;margin:0 0 ${space.two}px;break-inside:avoid}
.note p:last-child{margin-bottom:0}
figure{margin:0 0 ${space.two}px;break-inside:avoid}
figure svg{display:block;max-width:100%;height:auto}
figcaption{font-size:${type.small}px;color:${colours.quiet};margin-top:${space.half}px}
details{margin:0 0 ${space.two}px}
summary{cursor:pointer;font-size:${type.small}px;color:${colours.accent};padding:${space.half}px 0;min-height:${space.three}px}
.table{overflow-x:auto;margin:0 0 ${space.two}px}
table{border-collapse:collapse;font-size:${type.small}px;line-height:1.4;width:100%}
caption{text-align:left;color:${colours.quiet};padding:0 0 ${space.half}px}
th,td{padding:${space.half}px ${space.one}px;text-align:left;vertical-align:top;border-bottom:1px solid ${colours.hairline}}
thead th{border-bottom:1px solid ${colours.ink};font-weight:650}
td.n,th.n{text-align:right;white-space:nowrap}
tr{break-inside:avoid}
footer.page{font-size:${type.small}px;color:${colours.quiet};padding-bottom:${space.six}px}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:${space.half}px ${space.two}px;font-size:${type.small}px}
@media (max-width:480px){main,header.page,footer.page{padding-left:${space.two}px;padding-right:${space.two}px}h1{font-size:24px}.facts{grid-template-columns:1fr}.facts dt{margin-top:${space.half}px}}
main.wide,header.page.wide,footer.page.wide{max-width:1080px}
table.barn caption{font-size:${type.heading}px;font-weight:650;color:${colours.ink};caption-side:top}
table.barn td,table.barn th{border:1px solid ${colours.hairline}}
table.barn .tag{font-size:${type.body}px;white-space:nowrap}
table.barn .blank{min-width:64px}
@page{size:auto;margin:16mm 14mm 18mm}
@media print{body{font-size:${type.printBody}pt}main,header.page,footer.page{max-width:none;padding:0}h1{font-size:20pt}h2{font-size:13pt;break-after:avoid}h3{break-after:avoid}.question{break-after:avoid}nav,.skip,.screen{display:none}a{color:inherit;text-decoration:none}details{display:block}thead{display:table-header-group}.table{overflow:visible}section{margin-bottom:8mm}section.pen{break-after:page}table.barn tbody tr{height:14mm}table.barn .tag{font-size:12pt}table.barn .blank{min-width:18mm}}
`.trim();

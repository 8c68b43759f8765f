// SPDX-License-Identifier: Apache-2.0
// How the sheet looks: ink on paper. Line weights speak as on a drawing: thick is a contour or a
// stop, thin is a division, dashed is what is not there. No color carries a meaning.
#include "report/html_parts.h"

namespace tautmark::html {
namespace {

constexpr std::string_view kStyle = R"(
:root{color-scheme:light dark;--ink:#15181b;--paper:#fff;--desk:#e9e7e1;--soft:#565b60;--now:#1d4f91;
--thin:.25mm;--medium:.5mm;--thick:.9mm;
--letter:Bahnschrift,"DIN Alternate","Arial Narrow","Liberation Sans Narrow","DejaVu Sans Condensed",sans-serif;
--plain:system-ui,"Segoe UI","Helvetica Neue",Arial,"DejaVu Sans",sans-serif}
*{box-sizing:border-box}
html{font-size:16px;-webkit-text-size-adjust:100%}
body{margin:0;background:var(--desk);color:var(--ink);font:1rem/1.4 var(--plain);
font-variant-numeric:tabular-nums lining-nums}
p,h1,h2,h3,ul{margin:0;padding:0}
small{font-size:.72rem;color:var(--soft)}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;font-weight:400;padding:0}
svg.defs{position:absolute}
section,.title-block,.headline,.turning{overflow-wrap:break-word}

table.sheet{max-width:65rem;margin:0 auto;background:var(--paper)}
.sheet>tbody>tr>td,.sheet>thead>tr>td,.sheet>tfoot>tr>td{padding:0 1.6rem}
.sheet>tfoot>tr>td{padding-bottom:1.6rem}
.running{display:flex;justify-content:space-between;gap:1.5rem;flex-wrap:wrap;font-size:.75rem;
color:var(--soft);padding:.35rem 0;letter-spacing:.02em}
thead .running{border-bottom:var(--thin) solid;margin-bottom:.8rem}
tfoot .running{border-top:var(--thin) solid;margin-top:.8rem}
.invented{border:var(--thick) double;border-width:1.1mm;text-align:center;font:700 1.05rem/1.2 var(--letter);
letter-spacing:.14em;padding:.35rem .6rem;margin-top:.6rem;color:var(--ink)}

.title-block{display:grid;grid-template-columns:repeat(12,minmax(0,1fr));border:var(--thick) solid;margin-bottom:1rem}
.cell{padding:.3rem .55rem .4rem;box-shadow:0 0 0 .5px;min-height:2.9rem;display:flex;
flex-direction:column;justify-content:space-between;gap:.1rem}
.cell b{font-weight:600;font-size:.95rem;line-height:1.25}
.cell.sixth{grid-column:span 2}
.cell.quarter,.cell.mark{grid-column:span 3}
.cell.third{grid-column:span 4}
.cell.half{grid-column:span 6}
.cell.title{grid-column:span 6;justify-content:center}
.cell.mark{justify-content:center}
.cell.mark b{font:700 1.1rem/1 var(--letter);letter-spacing:.12em;white-space:nowrap}
.cell.hand{min-height:3.4rem;justify-content:flex-start}
h1{font:700 1.55rem/1.15 var(--letter)}

.headline{display:grid;gap:.3rem;margin-bottom:1rem}
.line{display:grid;grid-template-columns:7.4rem 1fr;gap:.8rem;align-items:baseline;font-size:1.05rem}
.line>b{font:700 1rem/1.3 var(--letter);letter-spacing:.06em;text-transform:uppercase}
.line.stop{font-size:1.2rem;font-weight:600;line-height:1.35}
.line.stop>b{font-size:1.3rem}
.next-line>b,.next>b,.follows>b{color:var(--now)}

.turning{border:1.6mm solid;padding:.8rem 1.1rem;display:grid;grid-template-columns:auto 1fr;gap:1.4rem;
align-items:center;break-inside:avoid;margin-bottom:1.4rem}
.answer{font:700 2.5rem/1.02 var(--letter);letter-spacing:.03em;max-width:9.5rem}
.turning p+p{margin-top:.35rem}
.turning div b{font-weight:700;text-transform:uppercase;font-size:.8rem;letter-spacing:.06em}
.turning div p{font-size:1.05rem}

section{margin-bottom:1.8rem}
h2{display:flex;align-items:center;gap:.7rem;font:700 1.25rem/1.2 var(--letter);margin-bottom:.6rem;break-after:avoid;break-inside:avoid}
h2::after{content:"";flex:1;border-top:var(--medium) solid}
.balloon{display:inline-grid;place-items:center;width:2rem;height:2rem;border:var(--medium) solid;
border-radius:50%;font-size:1.05rem;flex:none}
h3{display:flex;justify-content:space-between;align-items:baseline;gap:1rem;font:700 1.05rem/1.2 var(--letter);
margin:1rem 0 .35rem;break-after:avoid}
.tally{font-weight:400;font-size:.9rem}
.note{break-after:avoid;break-inside:avoid;font-size:.85rem;color:var(--soft);margin-bottom:.5rem;max-width:56rem}
ul.plain{list-style:none}
ul.plain li{padding:.15rem 0 .15rem 1.1rem;position:relative;break-inside:avoid}
ul.plain li::before{content:"";position:absolute;left:0;top:.78rem;width:.65rem;border-top:var(--medium) solid}

.record{border-top:var(--thin) solid}
.record th{width:7.4rem;white-space:nowrap;font-size:.85rem;color:var(--soft);padding:.16rem .6rem .16rem 0}
.record td{padding:.12rem .6rem .12rem 0}
.record tbody{border-bottom:var(--thin) solid}
.record tbody tr:first-child>*{padding-top:.28rem}
.record tbody tr:last-child>*{padding-bottom:.28rem}
.record tr{break-inside:avoid}
.record .entry{width:11.6rem;font-size:.72rem;color:var(--soft);text-align:right;padding-right:0}
.date{white-space:nowrap}
.record .complaint{font-size:1.12rem;line-height:1.35}
.record .codes{font:700 1.12rem/1.3 var(--letter);letter-spacing:.06em}
.write{height:2.2rem}

.finding,.forecast{display:grid;grid-template-columns:5.6rem minmax(0,1fr) 20rem;gap:.3rem 1rem;
padding:.5rem 0 .5rem .7rem;border-top:var(--thin) solid;border-left:var(--thin) solid transparent;break-inside:avoid}
.finding.fail{border-left:var(--thick) solid}
.finding.open{border-left:var(--medium) dashed}
.finding.pass{border-left:var(--thin) solid;padding-top:.1rem;padding-bottom:.1rem}
.pass .where,.pass .numbers{display:inline;margin-right:.8rem}
.pass .link{width:2.6rem;height:1.15rem}
.forecast{grid-template-columns:5.6rem minmax(0,1fr);border-left:var(--medium) dashed}
.verdict{display:flex;flex-direction:column;align-items:flex-start;gap:.1rem}
.verdict small{line-height:1.2}
.verdict-word{font:700 1.15rem/1.1 var(--letter);letter-spacing:.04em}
.fail .verdict-word{text-transform:uppercase}
.link{width:4.2rem;height:1.91rem}
.link .contour,#link-pass .contour,#link-fail .contour,#link-open .contour{fill:none;stroke:currentColor;stroke-width:1.7;stroke-linejoin:round;stroke-linecap:round}
.pin{fill:currentColor}
.hidden{fill:none;stroke:currentColor;stroke-width:1.1;stroke-dasharray:2.6 2}
.center{fill:none;stroke:currentColor;stroke-width:.7}
.where b{font:700 1.1rem/1.2 var(--letter)}
.check{white-space:nowrap;font-size:.92rem}
.where{display:flex;flex-wrap:wrap;align-items:baseline;gap:0 .6rem}
.numbers{display:flex;flex-wrap:wrap;align-items:baseline;gap:0 .9rem}
.value{font:700 1.5rem/1.25 var(--letter);letter-spacing:.01em;white-space:nowrap}
.pass .value{font-size:1.05rem}
.pass .verdict{flex-direction:row;align-items:center;gap:.35rem}
.pass .verdict-word{font-size:1rem}
.limit{font-size:.95rem}
.limit b{font-weight:700}
.source{font-size:.72rem;color:var(--soft)}
.why,.follows,.next{font-size:.95rem;margin-top:.1rem}
.pass .why,.pass .follows,.pass .evidence{font-size:.8rem;margin-top:0;color:var(--soft);display:inline;margin-right:.7rem}
.follows>b,.next>b{font-size:.78rem;text-transform:uppercase;letter-spacing:.05em}
.evidence{font-size:.72rem;color:var(--soft)}
.variants{width:auto;margin:.2rem 0}
.variants th,.variants td{border:var(--thin) solid;padding:.15rem .5rem}
.cautions{list-style:none;border:var(--medium) solid;padding:.35rem .7rem;margin-top:.4rem;font-size:.9rem;
break-inside:avoid;break-before:avoid}
.cautions b{text-transform:uppercase;font-size:.78rem;letter-spacing:.05em}

.words:last-child{grid-column:2/-1}
.scale{align-self:center}
svg.bar{display:block;width:100%;height:auto;overflow:visible}
.bar path{fill:none;stroke:currentColor}
.bar .axis{stroke-width:.8}
.bar .hatch{stroke-width:.75}
.bar .limit{stroke-width:3}
.bar .interval{fill:var(--paper);stroke:currentColor;stroke-width:1.5}
.bar .middle{stroke-width:2.2}
.bar text{fill:currentColor;font:10.5px var(--plain);text-anchor:middle}
.bar .limit-number{font-weight:700;font-size:11.5px}
.bar .unit{text-anchor:start}

.data th,.data td{padding:.2rem .8rem .2rem 0;border-bottom:var(--thin) solid}
.data thead th{font-size:.85rem;color:var(--soft)}
.data tr{break-inside:avoid}
.data-head{padding:1rem 0 1.2rem}
ul.plain li.deeper{margin-left:1.1rem}

.forecasts th,.forecasts td{padding:.3rem .6rem .3rem 0;border-bottom:var(--thin) solid}
.forecasts thead th{font-size:.8rem;color:var(--soft);border-bottom:var(--medium) solid}
.forecasts .number{text-align:right;white-space:nowrap}
.forecasts td.number{font-size:1.05rem}
.forecasts u{font-weight:700;text-decoration-thickness:.5mm;text-underline-offset:.15em}
.forecasts tr{break-inside:avoid}

.boxes{border:var(--medium) solid;table-layout:fixed}
.boxes thead th{font-size:.75rem;color:var(--soft);padding:.2rem .4rem;border-bottom:var(--medium) solid}
.boxes tbody{break-inside:avoid}
.boxes tbody tr{break-inside:avoid}
.boxes tbody th,.boxes td{border:var(--thin) solid;padding:.2rem .4rem;vertical-align:middle}
.boxes .quantity th{border-top:var(--medium) solid;padding:.35rem .4rem}
.quantity b{font:700 1rem/1.2 var(--letter)}
.quantity .limit{font-weight:700;margin:0 .5rem}
.quantity .how{font-size:.8rem;color:var(--soft)}
.boxes .place{width:13%}
.boxes .place b{font-weight:600}
.boxes .direction{width:13%;font-size:.82rem;line-height:1.25}
.boxes .reading{width:11.5%;text-align:center}
.boxes td.reading{height:2.5rem;font-size:1.1rem;white-space:nowrap}
.boxes td.wide{font-size:.88rem;white-space:normal;line-height:1.2}
.boxes .result{width:21%}
.boxes td.result{font:700 1.02rem/1.2 var(--letter);overflow-wrap:normal}
.boxes .ticks{width:18.5%}
.free .place{width:22%}
.free .direction{width:21%}
.free .reading{width:8.5%}
.free .result{width:14%}
.free .ticks{width:17.5%}
.boxes td.ticks{padding:.15rem .3rem}
.boxes .instead{font-size:.82rem;color:var(--soft)}
.answers{display:flex;flex-wrap:wrap;gap:.2rem .6rem}
.tick{display:inline-flex;align-items:center;gap:.3rem;font-size:.82rem;white-space:nowrap}
.box{display:inline-grid;place-items:center;width:1.15rem;height:1.15rem;border:var(--medium) solid;flex:none;
font:700 1.15rem/1 var(--plain);font-style:normal}

.fasteners{border:var(--medium) solid}
.fasteners th,.fasteners td{border:var(--thin) solid;padding:.3rem .45rem}
.fasteners thead th{font-size:.72rem;color:var(--soft);border-bottom:var(--medium) solid;vertical-align:bottom}
.fasteners thead b{color:var(--ink);font-size:.95rem}
.fasteners tbody{break-inside:avoid;border-top:var(--medium) solid}
.fastener{width:23%;font-size:.85rem}
.fastener b{font:700 1.1rem/1.2 var(--letter)}
.line-block,.fasteners .line{display:block;font-size:inherit}
.fasteners .strong{font-weight:700}
.fasteners .note{color:inherit;font-size:.8rem;margin:.15rem 0 0}
.fasteners .step{width:4%;text-align:center;white-space:nowrap}
.fasteners tbody .torque{font:1.15rem/1.3 var(--letter);white-space:nowrap}
.fasteners tbody .torque b{font-size:1.3rem}
.fasteners .torque{width:11.5%}
.fasteners .bolt-ticks{width:27%}
.bolts{display:flex;flex-wrap:wrap;gap:.15rem .3rem}
.bolt{display:inline-flex;flex-direction:column;align-items:center;line-height:1}
.bolt small{font-size:.6rem}

.parts{border:var(--medium) solid}
.parts th,.parts td{border:var(--thin) solid;padding:.3rem .45rem;vertical-align:middle}
.parts thead th{font-size:.75rem;color:var(--soft);border-bottom:var(--medium) solid}
.parts tbody tr{height:2.3rem;break-inside:avoid}
.parts .number{width:3.4rem;text-align:center}
.parts .tick-cell{width:4.2rem;text-align:center}
.parts .part{width:27%}
.parts .reason{font-size:.88rem}
.write-lines p{border-bottom:var(--thin) solid;height:2.1rem}

.work-step{display:grid;grid-template-columns:2.4rem minmax(0,1fr) 11.5rem;gap:.2rem .9rem;padding:.45rem 0 .55rem;
border-top:var(--thin) solid}
.work-step h3{margin:0 0 .15rem;font-size:1.2rem}
.work-boxes .tick{white-space:normal}
.work-number{font:700 1.25rem/1.1 var(--letter);text-align:right}
.work-what{font-size:1.05rem;line-height:1.35}
.work-caution{border-left:var(--thick) solid;padding-left:.55rem;margin:.2rem 0;font-weight:600;break-inside:avoid}
.work-caution b,.work-before b,.work-fits b,.gate-name b{text-transform:uppercase;font-size:.75rem;letter-spacing:.05em}
.work-before{font-size:.82rem;color:var(--soft);margin-top:.1rem}
.work-boxes{border-left:var(--medium) solid;padding-left:.7rem;font-size:.9rem;break-inside:avoid}
.gate-name{border-top:var(--medium) solid;margin-top:.35rem;padding-top:.2rem;font-weight:700}
.hand-line{border-bottom:var(--thin) solid;min-height:1.95rem}
.work-fits .tick{margin-right:.8rem;white-space:normal}
.work-bolts{margin:.4rem 0}
.work-bolts .fasteners{margin-bottom:.25rem}
.work-wrench{font-size:.95rem}
.work-wrench u{display:inline-block;width:9rem;margin:0 .5rem;border-bottom:var(--thin) solid;text-decoration:none}
.work-bolts figure{margin:.3rem 0;break-inside:avoid}
.order svg{display:block;max-width:100%;height:auto;fill:none;stroke:currentColor;stroke-width:1.4}
.order text{fill:currentColor;stroke:none;font:700 14px var(--letter);text-anchor:middle}
.signatures{display:grid;grid-template-columns:1fr 1fr;gap:.8rem}
.signature{border:var(--medium) solid;min-height:6.5rem;padding:.4rem .6rem;break-inside:avoid;display:flex;flex-direction:column}
.deviations{grid-column:span 2;min-height:8.5rem}
.sums{font-size:.68rem;color:var(--soft);overflow-wrap:anywhere}

@media screen{
.with-banner{position:sticky;top:0;z-index:1}
.with-banner td{background:var(--paper)}
.next-line>p{border-left:.25rem solid var(--now);padding-left:.6rem;margin-left:-.85rem}
}
@media screen and (prefers-color-scheme:dark){
:root{--ink:#e8e6df;--paper:#15181b;--desk:#0b0d0f;--soft:#a4a9ae;--now:#8db8f0}
}
@media screen and (max-width:60rem){
.sheet>tbody>tr>td,.sheet>thead>tr>td,.sheet>tfoot>tr>td{padding-left:1rem;padding-right:1rem}
.finding{grid-template-columns:4.6rem minmax(0,1fr) 17.5rem}
}
@media screen and (max-width:43rem){
.finding{grid-template-columns:4.6rem minmax(0,1fr)}
.scale{grid-column:2;max-width:20rem}
.cell.quarter,.cell.third,.cell.sixth{grid-column:span 6}
.cell.half,.cell.title,.cell.mark{grid-column:span 12}
.turning{grid-template-columns:1fr;gap:.5rem}
.answer{max-width:none}
.record .entry{width:6rem}
section{overflow-x:auto}
.work-step{grid-template-columns:2rem minmax(0,1fr)}
.work-boxes{grid-column:2}
.boxes,.fasteners,.parts{min-width:44rem}
}
@page{margin:11mm 12mm 13mm 12mm;
@bottom-right{content:"sheet " counter(page) " of " counter(pages);font:7.5pt sans-serif}}
figure.drawing{margin:.6rem 0 1rem;break-inside:avoid}
figure.drawing img{display:block;width:100%;max-height:18.5cm;object-fit:contain}
@media print{
.turning{grid-template-columns:1fr;gap:.2rem;padding:.5rem .8rem}
.answer{max-width:none;font-size:2.4rem}
.turning div p{font-size:.9rem;line-height:1.25}
.turning p+p{margin-top:.15rem}
.finding.pass{padding-top:0;padding-bottom:0}
.pass .why,.pass .evidence{display:none}
:root{--ink:#000;--soft:#333;--now:#000}
html{font-size:10pt}
body{background:none}
table.sheet{max-width:none}
.sheet>tbody>tr>td,.sheet>thead>tr>td,.sheet>tfoot>tr>td{padding:0}
thead .running{margin-bottom:.6rem}
tfoot .running{padding-bottom:0}
.invented{margin-top:0}
.finding{grid-template-columns:5.2rem minmax(0,1fr) 60mm}
.pass .source{display:none}
.pass .limit{white-space:nowrap}
section{margin-bottom:1.3rem}
.boxes td.reading{height:8.6mm}
.boxes td.reading{font-size:1rem}
a{color:inherit}
}
)";

}  // namespace

std::string_view sheet_style() { return kStyle; }

}  // namespace tautmark::html

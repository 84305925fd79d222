//! The look of the page: on light and dark, on a phone and on paper. Nothing is fetched: fonts are the reader's.

/// The style sheet, without that of the pictures.
pub const STYLE: &str = "\
:root{color-scheme:light dark;--paper:#f3f5f8;--card:#fff;--ink:#17222e;--quiet:#51606f;--rule:#d5dce3;--link:#1767a8;--warn:#b84a00;--tint:#e3f0fa}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 system-ui,sans-serif;overflow-wrap:anywhere}
main,header,footer{max-width:84rem;margin:0 auto;padding:0 1.25rem}
header{padding-top:2.5rem}
h1{font-size:2rem;line-height:1.2;margin:0 0 .5rem}
h2{font-size:1.45rem;margin:3rem 0 .75rem;padding-top:.75rem;border-top:2px solid var(--rule)}
h3{font-size:1.25rem;margin:0 0 .25rem}
h4{font-size:1rem;margin:1.5rem 0 .4rem}
p,ul,ol,dl{margin:.4rem 0 .8rem}
.lead{font-size:1.1rem;max-width:48rem}
.quiet{list-style:none;padding:0}
.quiet,caption,.unit,figcaption{color:var(--quiet)}
a{color:var(--link)}
a:focus-visible,.scroll:focus-visible,summary:focus-visible{outline:3px solid var(--link);outline-offset:2px}
nav ul{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.25rem 1.25rem}
.skip{position:absolute;left:-100vw}
.skip:focus{position:static}
.scroll{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;width:100%;font-size:.92rem;font-variant-numeric:tabular-nums;background:var(--card);overflow-wrap:normal}
caption{text-align:left;padding:.25rem 0 .5rem}
th,td{padding:.4rem .7rem;text-align:left;vertical-align:top;border-bottom:1px solid var(--rule)}
thead th,thead td{border-bottom:2px solid var(--ink);vertical-align:bottom}
tbody th{font-weight:600}
.n{text-align:right;white-space:nowrap}
thead .n{white-space:normal}
th .unit{display:block;font-weight:400;font-size:.85em}
tbody tr:hover{background:var(--tint)}
.bar{width:6rem;height:.5rem;fill:var(--link)}
.n small{display:block;color:var(--quiet);font-size:.85em}
#table tbody th{min-width:12rem}
.p{min-width:14rem}
.card{background:var(--card);border:1px solid var(--rule);border-radius:12px;padding:1.2rem;margin:1.5rem 0}
.card table{background:none}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(8rem,1fr));gap:.6rem;margin:1rem 0}
.facts div{border-left:4px solid var(--link);padding:.1rem .8rem}
.facts dt{color:var(--quiet);font-size:.88rem}
.facts dd{margin:0;font-size:1.35rem;font-weight:600;line-height:1.25}
.facts small{display:block;font-size:.8rem;font-weight:400;color:var(--quiet)}
#tank .facts dd{font-size:1rem}
#tank .facts div{border-left-color:var(--rule)}
.pictures{display:grid;grid-template-columns:minmax(0,1fr);gap:.8rem}
figure{margin:0}
figure .scroll{border:1px solid var(--rule);border-radius:10px}
figure svg{display:block;width:100%;height:auto;min-width:34rem}
figcaption{font-size:.88rem;padding:.35rem .2rem}
.stages{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.4rem;counter-reset:s}
.stages li{border:1px solid var(--quiet);border-radius:99px;padding:.1rem .8rem}
.cautions li{margin:.35rem 0}
.cautions{border-left:4px solid var(--warn);padding-left:2rem}
summary{cursor:pointer;font-weight:600;padding:.4rem 0}
footer{padding:2rem 1.25rem 3rem;color:var(--quiet)}
@media (min-width:68rem){.pictures{grid-template-columns:minmax(0,1.13fr) minmax(0,1fr)}.pictures figure:first-child{grid-row:span 3}}
@media screen and (prefers-color-scheme:dark){:root{--paper:#0b0f14;--card:#12181f;--ink:#e8eef4;--quiet:#a6b4c2;--rule:#2c3742;--link:#74b8f2;--warn:#ff9d4d;--tint:#17293a}}
@media (max-width:40rem){td:has(>.bar),thead td:not(:first-child){display:none}th,td{padding:.4rem}}
@media print{:root{--paper:#fff;--tint:none}@page{size:A4;margin:15mm}body{font-size:9.5pt}p,li{orphans:3;widows:3}main,header,footer{max-width:none;padding:0}nav,.skip{display:none}
.card{border:0;padding:0;margin:0;break-before:page}#builds-head{display:none}figure,tr,.facts,li,#tank .facts div{break-inside:avoid}#tank .facts{break-inside:auto}
.pictures{grid-template-columns:minmax(0,1.13fr) minmax(0,1fr)}.pictures figure:first-child{grid-row:span 3}h2,h3,h4{break-after:avoid}
thead{display:table-header-group}.scroll{overflow:visible}figure svg{min-width:0;max-height:9cm}
details:not([open]),#sources{display:none}a{color:inherit;text-decoration:none}}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
";

"""How a page looks: on a wide screen, on a phone, on paper, in the dark."""

NARROW = "max-width: 40rem"
STYLE = """
:root { --ink: #22303a; --soft: #55646e; --paper: #fff; --card: #f3f6f7; --rule: #c9d3d8; --warn: #8a4b10; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e4eaed; --soft: #a9b8c0; --paper: #172027; --card: #1f2b33;
    --rule: #3d4c55; --warn: #f0b77c; }
}
* { box-sizing: border-box; }
body { max-width: 52rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem;
  background: var(--paper); color: var(--ink);
  font: 1rem/1.55 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
h1 { font-size: 1.8rem; line-height: 1.2; margin: 0 0 1rem; overflow-wrap: anywhere; }
h2 { font-size: 1.4rem; margin: 2.5rem 0 .75rem; padding-top: .75rem; border-top: 2px solid var(--ink); }
h3 { font-size: 1.08rem; margin: 1.75rem 0 .5rem; }
p, ul, dl { margin: 0 0 1rem; }
ul { padding-left: 1.25rem; }
li { margin-bottom: .3rem; }
a { color: inherit; }
a:focus-visible, main:focus-visible { outline: .18rem solid var(--ink); outline-offset: .15rem; }
.skip { position: absolute; left: -100rem; padding: .5rem .8rem; background: var(--card); }
.skip:focus { left: .5rem; top: .5rem; }
nav { margin-top: 1.25rem; }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .25rem 1.75rem; }
.kind { margin: 0; color: var(--soft); }
.verdict { font-size: 1.2rem; padding: .8rem 1rem;
  background: var(--card); border-left: .4rem solid var(--ink); }
.verdict.missed { border-left-style: double; }
.cautions { padding: .25rem 1.25rem .5rem; border: 2px solid var(--warn); border-radius: .4rem; }
.cautions h2 { border: 0; padding: 0; margin: .75rem 0 .5rem; color: var(--warn); }
.wide { overflow-x: auto; margin-bottom: 1rem; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .4rem .75rem .4rem 0;
  border-bottom: 1px solid var(--rule); }
thead th { color: var(--soft); font-weight: 600; border-bottom: 1px solid var(--ink); }
tbody th { font-weight: 500; }
th:first-child { width: 32%; }
td[data-head=Verdict] { white-space: nowrap; }
.close td[data-head=Verdict] { font-weight: 700; }
.missed td[data-head=Verdict] { font-weight: 700; color: var(--warn); text-transform: uppercase; }
figure { margin: 0 0 1rem; break-inside: avoid; }
figure { max-width: 40rem; }
img { display: block; width: 100%; height: auto; padding: .5rem;
  background: #fff; border: 1px solid var(--rule); border-radius: .3rem; }
.errors td:last-child { width: 44%; }
.errors th:first-child { width: 26%; }
.errors td:not(:last-child) { white-space: nowrap; }
.many th, .many td { padding-right: .5rem; font-size: .92rem; }
.many th:first-child { width: auto; }
figcaption { margin-top: .4rem; color: var(--soft); font-size: .92rem; }
.narrow-picture, .on-paper { display: none; }
.curves { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(20rem, 100%), 1fr));
  gap: .5rem 1.25rem; }
dt { font-weight: 600; margin-top: .75rem; }
dd { margin: 0; }
footer { margin-top: 3rem; color: var(--soft); font-size: .92rem; }
@media screen and (prefers-color-scheme: dark) {
  img { filter: invert(.9) hue-rotate(180deg); }
}
@media screen and (NARROW) {
  .wide-picture { display: none; }
  .narrow-picture { display: block; }
  body { padding: 1rem 1rem 2rem; overflow-wrap: anywhere; }
  .cautions { padding: .25rem .9rem .5rem; }
  table, tbody, tr, th, td { display: block; }
  thead { display: none; }
  tr { padding: .5rem 0; border-bottom: 1px solid var(--rule); }
  th, th:first-child, td { width: auto; padding: .1rem 0; border: 0; }
  tbody th { font-weight: 600; }
  .errors th:first-child, .errors td:last-child, .many th:first-child { width: auto; }
  .errors td:not(:last-child) { white-space: normal; }
  .errors td:last-child { flex-direction: column; gap: 0; }
  td[data-head] { display: flex; justify-content: space-between; gap: 1rem; }
  td[data-head]::before { content: attr(data-head); color: var(--soft);
    font-weight: 400; text-transform: none; }
  .targets tr { position: relative; }
  .targets tr[class] th { padding-right: 5rem; }
  .targets td[data-head=Verdict] { position: absolute; top: .5rem; right: 0; }
  .targets td[data-head=Verdict]::before { content: none; }
}
@media print {
  :root { --ink: #000; --soft: #333; --paper: #fff; --card: #fff; --rule: #999; --warn: #000; }
  @page { margin: 12mm; }
  body { max-width: none; padding: 0; font-size: 8.5pt; line-height: 1.25; }
  h1 { font-size: 15pt; margin-bottom: .4rem; }
  h2 { font-size: 12pt; margin: .8rem 0 .3rem; padding-top: .3rem; border-top-width: 1px; }
  h3 { font-size: 9.5pt; margin: .5rem 0 .2rem; }
  p, ul, dl, .wide { margin-bottom: .4rem; }
  li { margin-bottom: 0; }
  .verdict { font-size: 10.5pt; padding: .3rem .6rem; }
  .cautions { padding: 0 .6rem; }
  .cautions h2 { margin: .3rem 0 .2rem; }
  .skip, nav { display: none; }
  figure { max-width: 9cm; margin-bottom: .4rem; }
  .beside figure, .curves figure { max-width: none; }
  figcaption { font-size: 7.5pt; margin-top: .1rem; }
  img { padding: 0; border: 0; }
  .wide-picture { display: none; }
  .narrow-picture, .on-paper { display: block; }
  .beside { display: grid; grid-template-columns: 2fr 3fr; gap: 0 1rem; align-items: start; break-inside: avoid; }
  .beside img { max-height: 9cm; width: auto; max-width: 100%; }
  .curves { grid-template-columns: 1fr 1fr 1fr; gap: 0 .6rem; }
  .second { display: none; }
  th, td { padding: .06rem .5rem .06rem 0; }
  .many th, .many td { font-size: 7.5pt; padding-right: .3rem; }
  .pairs tbody { columns: 2; column-gap: 1rem; display: block; }
  .beside .pairs tbody { columns: 1; }
  .pairs thead { display: none; }
  .pairs tr { display: block; break-inside: avoid; border-bottom: 1px solid var(--rule); }
  .pairs th, .pairs td { display: inline; border: 0; }
  .pairs th::after { content: ":"; }
  h2, h3, dt, section > p { break-after: avoid; }
  tr, dd, .targets, .curves, .cautions li, .verdict { break-inside: avoid; }
  .terms { columns: 2; column-gap: 1rem; font-size: 8pt; }
  dt { margin-top: .3rem; }
  footer { margin-top: .6rem; }
}
""".replace("NARROW", NARROW)

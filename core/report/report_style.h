#pragma once

#include <string_view>

namespace aftercurve {

/// The style sheet of report.html. Text and ground differ in luminance by 4.5 to 1 or more (WCAG 2.1, 1.4.3);
/// a test computes it for every "color:" here. Free of '<' and '&', so that the page is XML as well.
inline constexpr std::string_view reportStyle = R"css(
:root { color-scheme: light; }
body { font: 15px/1.5 "DejaVu Sans", "Liberation Sans", sans-serif; color: #1d2a2e; background: #ffffff; max-width: 62em; margin: 0 auto; padding: 1.5em 1.2em; }
h1 { font-size: 1.6em; line-height: 1.25; margin: .3em 0 .5em; }
h2 { font-size: 1.2em; line-height: 1.3; margin: 2.2em 0 .6em; border-bottom: 1px solid #5d6d70; }
a { color: #0b4f73; }
a:focus-visible, .scroll:focus-visible, summary:focus-visible { outline: 3px solid #0b4f73; outline-offset: 2px; }
.skip { position: absolute; left: -100em; }
.skip:focus { left: 1em; top: .5em; background: #ffffff; padding: .4em .8em; }
#caution { border-left: 5px solid #b5651d; padding: .1em 1em; background: #faf4ea; }
#caution h2 { margin-top: .6em; border: none; }
nav ol { columns: 18em; padding-left: 1.6em; }
.source { font-size: .8em; white-space: nowrap; }
.scroll { overflow-x: auto; margin: 1em 0 .4em; }
table { border-collapse: collapse; font-size: .82em; }
caption { text-align: left; font-weight: bold; padding: .4em 0; }
th, td { padding: .2em .7em; text-align: left; vertical-align: top; font-weight: normal; }
thead th { font-weight: bold; border-top: 2px solid #1d2a2e; border-bottom: 1px solid #1d2a2e; vertical-align: bottom; }
tbody tr:last-child td, tbody tr:last-child th { border-bottom: 2px solid #1d2a2e; }
tr:target { background: #fdf0c8; }
.n { text-align: right; font-variant-numeric: tabular-nums; }
td.n { white-space: nowrap; }
tr.muted { color: #55636a; }
.note { font-size: .85em; color: #44555a; margin: .2em 0; }
details { font-size: .85em; color: #44555a; }
dt { font-weight: bold; }
dd { margin: 0 0 .4em 1.5em; overflow-wrap: anywhere; }
figure { margin: 1.6em 0; }
figure svg { max-width: 100%; height: auto; }
figcaption { font-size: .88em; color: #2f3e42; }
.error { color: #9b1c1c; font-weight: bold; }
.warning { color: #7a4a00; font-weight: bold; }
footer { margin: 3em 0 1em; font-size: .85em; color: #44555a; border-top: 1px solid #5d6d70; }
@page { size: A4; margin: 18mm 15mm; }
@media print {
body { font-size: 9.5pt; max-width: none; padding: 0; }
.skip, nav, details { display: none; }
.scroll { overflow: visible; }
table { font-size: 6.8pt; width: 100%; }
th, td { padding: .15em .35em; overflow-wrap: anywhere; }
td.n { white-space: normal; }
thead { display: table-header-group; }
tr, figure, caption { break-inside: avoid; }
h2, caption { break-after: avoid; }
figure svg { max-height: 230mm; }
a { color: #1d2a2e; text-decoration: none; }
}
)css";

}  // namespace aftercurve

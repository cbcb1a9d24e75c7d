// Package sketch draws the pictures of a page: SVG that a style sheet colours, and small maps of pixels.
//
// Start with [Curve], [Day] and [YearFrame]; [YearPNG] makes the map that a frame goes round. What is drawn is plain
// numbers. Each SVG is made for a strict content policy: no style attribute, no script, nothing fetched but the map;
// widths and dashes are attributes, and all colours are left to the page's style sheet. Each has a <title> and a <desc>
// that say in words what is to be seen, and comes wide or Narrow, with letters of the same size: a page shows the one
// that fits.
//
// # Classes
//
// The root has the classes "sketch", then "wide" or "narrow", then "curve", "day" or "year". A style sheet gives
//
//   - fill to areas: .sun .store .boiler .lack .into (sun that goes into the store) .spilled .level (stored heat)
//     .gain (what the next m³ saves) .dot (proven points) .best (a diamond) .ground (the plot's own background)
//   - stroke to lines: .grid .axis .zero .saving (the curve) .bound .was .cost .handle-line .demand .stored .full
//     .edge (outlines of areas); fill and stroke to .ring (ground and ink)
//   - fill to text: text (plain), .name (a panel's name, bold), .say (words beside a mark, bold), .quiet (of less weight);
//     a stroke in the ground's colour to .halo, which keeps words readable on lines
//   - stroke to .mark, the strokes of hatchings. No rule may set fill on .hatch: its fill is the hatching.
//
// Kinds differ by hatching, dash and mark as well, so that colours carry nothing alone.
//
// # A handle on the curve
//
// The plot of a wide Curve reaches from [PlotLeft] to [PlotRight] of the picture's width, that of a narrow one from
// [NarrowLeft] to [NarrowRight], and its volumes run from the first to the last without a margin: an input of type
// range with these as min and max, laid from one to the other and half a thumb beyond at each end, points at
// the volume it names. The root's data-m3 and data-savings hold the solved points, data-plot the upper panel's left,
// top, right and bottom in the picture's units, data-money the sums at its bottom and its top, and .handle-line (a path
// through both panels) and .ring may be moved along.
package sketch

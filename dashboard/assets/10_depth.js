// Depth to pixels, ticks, and labels that keep clear of one another. No drawing here.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});

  function scale(top, base, y0, y1) {
    const perUnit = (y1 - y0) / (base - top);
    return {
      top, base, y0, y1,
      y: (depth) => y0 + (depth - top) * perUnit,
      depth: (y) => top + (y - y0) / perUnit,
      seen: (a, b) => b > top && a < base,
    };
  }

  function ticks(top, base, most) {
    const raw = (base - top) / most;
    const size = Math.pow(10, Math.floor(Math.log10(raw)));
    const step = [1, 2, 5, 10].map((m) => m * size).find((s) => s >= raw);
    const found = [];
    for (let d = Math.ceil(top / step) * step; d <= base + 1e-9; d += step) found.push(d);
    return found;
  }

  // Labels want their own height; push them apart downwards, then back up from the bottom edge.
  function spread(labels, gap, low, high) {
    const sorted = labels.slice().sort((a, b) => a.want - b.want);
    let y = low;
    for (const label of sorted) {
      label.at = Math.max(label.want, y);
      y = label.at + gap;
    }
    let limit = high;
    for (let i = sorted.length - 1; i >= 0; i -= 1) {
      sorted[i].at = Math.min(sorted[i].at, limit);
      limit = sorted[i].at - gap;
    }
    return sorted;
  }

  function number(value) {
    const size = Math.abs(value);
    const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
    return value.toLocaleString("en-US", { maximumFractionDigits: digits }).replace("-", "\u2212");
  }

  // Between the depths given; beyond them by the slope of the nearest two.
  function trueDepth(pairs, md) {
    if (pairs.length < 2) return null;
    let i = pairs.findIndex((pair) => pair[0] >= md);
    if (i < 0) i = pairs.length - 1;
    const [low, high] = [pairs[Math.max(1, i) - 1], pairs[Math.max(1, i)]];
    return low[1] + ((high[1] - low[1]) * (md - low[0])) / Math.max(high[0] - low[0], 1e-9);
  }

  // The same well with every depth as true vertical depth; the second depth of the axis is then that along the hole.
  function vertical(well) {
    const at = (md) => trueDepth(well.true_depths, md);
    const moved = (part) => ({ ...part, top: at(part.top), base: at(part.base) });
    return {
      ...well, upright: true, top: at(well.top), base: at(well.base),
      zones: well.zones.map(moved), layers: well.layers.map(moved), parts: well.parts.map(moved),
      hole: well.hole.map(([md, size]) => [at(md), size]),
      true_depths: well.true_depths.map(([md, tvd]) => [tvd, md]),
    };
  }

  function verticalFlow(flow, pairs) {
    const spans = flow.bore.spans.map((span) => span.map((md) => trueDepth(pairs, md)));
    return { ...flow, bore: { ...flow.bore, spans } };
  }

  blankwise.depth = { scale, ticks, spread, number, trueDepth, vertical, verticalFlow };
})();

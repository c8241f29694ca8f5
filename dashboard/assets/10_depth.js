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

  blankwise.depth = { scale, ticks, spread, number };
})();

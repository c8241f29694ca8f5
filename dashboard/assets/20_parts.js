// How each kind of element of the string looks. Every function adds SVG to a group; colours come from the style sheet.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});
  const SVG = "http://www.w3.org/2000/svg";

  function add(parent, tag, attributes, text) {
    const node = document.createElementNS(SVG, tag);
    for (const [key, value] of Object.entries(attributes || {})) node.setAttribute(key, value);
    if (text !== undefined) node.textContent = text;
    parent.appendChild(node);
    return node;
  }

  function patterns(svg) {
    const defs = add(svg, "defs");
    const make = (id, w, h, extra) => add(defs, "pattern", { id, width: w, height: h, patternUnits: "userSpaceOnUse", ...extra });
    const hatch = make("bw-water", 5, 5, { patternTransform: "rotate(45)" });
    add(hatch, "rect", { width: 5, height: 5, class: "fill-water" });
    add(hatch, "rect", { width: 1.6, height: 5, class: "fill-on-phase" });
    const dots = make("bw-gas", 5, 5);
    add(dots, "rect", { width: 5, height: 5, class: "fill-gas" });
    add(dots, "circle", { cx: 1.5, cy: 1.5, r: 1, class: "fill-on-phase" });
    add(dots, "circle", { cx: 4, cy: 4, r: 1, class: "fill-on-phase" });
    const slots = make("bw-slots", 7, 4);
    add(slots, "rect", { width: 7, height: 4, class: "fill-screen" });
    add(slots, "rect", { x: 0, y: 1, width: 7, height: 1.6, class: "fill-slot" });
    const gravel = make("bw-gravel", 5, 5);
    add(gravel, "circle", { cx: 1.2, cy: 1.4, r: 0.9, class: "fill-quiet" });
    add(gravel, "circle", { cx: 3.8, cy: 3.8, r: 0.9, class: "fill-quiet" });
    const grains = make("bw-sand", 11, 9);
    [[2, 2], [7.5, 4], [4, 7], [10, 8]].forEach(([cx, cy]) => add(grains, "circle", { cx, cy, r: 0.75, class: "grain" }));
    const shut = make("bw-shut", 7, 7, { patternTransform: "rotate(45)" });
    add(shut, "rect", { width: 2, height: 7, class: "fill-shut" });
  }

  // Two walls, left and right of the middle.
  function walls(g, lane, y, h, half, thick, attributes) {
    add(g, "rect", { x: lane.middle - half, y, width: thick, height: h, ...attributes });
    add(g, "rect", { x: lane.middle + half - thick, y, width: thick, height: h, ...attributes });
  }

  function element(g, lane, part, y, h, hole) {
    const pipe = lane.pipe;
    const wall = { class: "steel" };
    const tall = Math.max(h, 4);
    const mid = y + h / 2;
    switch (part.kind) {
      case "casing":
        walls(g, lane, y, h, hole + 3, 4, { class: "casing" });
        break;
      case "screen": {
        const half = part.screen === "conforming" ? hole : pipe + 3;
        if (part.screen === "gravel pack") walls(g, lane, y, h, hole, hole - half, { fill: "url(#bw-gravel)" });
        walls(g, lane, y, h, half, half - pipe + 5, { fill: "url(#bw-slots)", class: "screen" });
        break;
      }
      case "blank pipe":
        walls(g, lane, y, h, pipe, 4, wall);
        break;
      case "isolation joint":
        walls(g, lane, y, h, pipe, 4, wall);
        walls(g, lane, mid - tall / 2, tall, hole + 2, hole + 2 - pipe, { class: "seal" });
        break;
      case "perforated casing": {
        walls(g, lane, y, h, hole, 4, { class: "casing" });
        for (let at = y + 3; at < y + h - 1; at += 6) walls(g, lane, at, 1.5, hole + 7, 11, { class: "casing" });
        break;
      }
      case "inner pipe":
        walls(g, lane, y, h, pipe * 0.55, 2, wall);
        break;
      case "hanger":
        walls(g, lane, y, h, pipe, 4, wall);
        for (const side of [-1, 1]) {
          const x = (d) => lane.middle + side * d;
          add(g, "polygon", {
            points: `${x(hole + 3)},${mid - tall / 2} ${x(pipe)},${mid - tall / 2} ${x(pipe)},${mid + tall / 2}`,
            class: "seal",
          });
        }
        break;
      case "packer":
      case "plug":
        set(g, lane, mid, "plug");
        break;
      default:
    }
  }

  // A later element drawn in the bore at a depth: a plug fills it, a packer of a straddle leaves a smaller bore.
  function set(g, lane, y, what) {
    const half = lane.pipe - 4;
    const inner = what === "plug" ? 0 : half * 0.45;
    for (const side of [-1, 1]) {
      const near = lane.middle + side * inner;
      const far = lane.middle + side * half;
      add(g, "rect", { x: Math.min(near, far), y: y - 5, width: Math.abs(far - near), height: 10, class: "later" });
    }
    if (what === "plug") add(g, "path", { d: `M${lane.middle - half + 2},${y - 3} L${lane.middle + half - 2},${y + 3} M${lane.middle - half + 2},${y + 3} L${lane.middle + half - 2},${y - 3}`, class: "later-cross" });
  }

  function leak(g, lane, y, hole) {
    const x = lane.middle + lane.pipe + 1;
    add(g, "path", { d: `M${x},${y + 7} l4,-4 l-4,-3 l4,-4 l-4,-3`, class: "leak", transform: `translate(${(hole - lane.pipe) / 3},0)` });
  }

  blankwise.parts = { add, patterns, element, set, leak };
})();

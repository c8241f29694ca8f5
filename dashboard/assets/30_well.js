// The picture of the well, drawn true to depth from the JSON of widgets/picture.py. Pure drawing: see 40_hands.js for input.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});
  const { scale, ticks, spread, number, trueDepth } = blankwise.depth;
  const { add, patterns, element, set, leak } = blankwise.parts;
  const { statesAt, rates, stream, innerStream, inflow, largest, zoneText, isShut } = blankwise.flow;
  const PICKABLE = { "blank pipe": "blank pipe", "isolation joint": "seal", hanger: "seal", packer: "seal", plug: "seal" };
  const SMALLEST = 13; // px, height of the area that takes a click

  function lanes(width) {
    const left = 46;
    const names = 104;
    const middle = left + names + 70;
    return { axis: left, names: left + 4, namesEnd: left + names, middle, pipe: 15, hole: 30, rock: middle + 31, strip: middle - 62, right: width - 2 };
  }

  function holeHalf(data, lane, depth) {
    const sizes = data.hole.map((row) => row[1]);
    const biggest = Math.max(...sizes);
    let now = sizes[0];
    for (const [md, size] of data.hole) if (md <= depth) now = size;
    return lane.pipe + 4 + (lane.hole - lane.pipe - 4) * Math.pow(now / biggest, 2);
  }

  function axis(svg, s, lane, data) {
    const g = add(svg, "g", { class: "axis", "aria-hidden": "true" });
    const bent = data.true_depths.some(([md, tvd]) => Math.abs(md - tvd) > 1e-3 * md);
    add(g, "text", { x: 2, y: s.y0 - (bent ? 20 : 8), class: "axis-title" }, `${data.upright ? "TVD" : "MD"}, ${data.length}`);
    if (bent) add(g, "text", { x: 2, y: s.y0 - 6, class: "tvd" }, data.upright ? "MD" : "TVD");
    for (const depth of ticks(s.top, s.base, 9)) {
      add(g, "line", { x1: lane.axis - 5, x2: lane.axis, y1: s.y(depth), y2: s.y(depth) });
      add(g, "text", { x: lane.axis - 8, y: s.y(depth) + 4, "text-anchor": "end" }, number(depth));
      const deep = bent ? trueDepth(data.true_depths, depth) : null;
      if (deep !== null) add(g, "text", { x: lane.axis - 8, y: s.y(depth) + 18, "text-anchor": "end", class: "tvd" }, number(deep));
    }
    add(g, "line", { x1: lane.axis, x2: lane.axis, y1: s.y0, y2: s.y1 });
  }

  function rock(g, s, lane, data) {
    for (const layer of data.layers) {
      if (!s.seen(layer.top, layer.base)) continue;
      const y = s.y(layer.top);
      const h = Math.max(2, s.y(layer.base) - y);
      const strength = 0.3 + 0.7 * layer.tint;
      for (const [x, w] of [[lane.middle, lane.right - lane.middle], [lane.strip, lane.middle - lane.strip]]) {
        add(g, "rect", { x, y, width: w, height: h, class: "sand", "fill-opacity": strength });
        add(g, "rect", { x, y, width: w, height: h, fill: "url(#bw-sand)", "fill-opacity": 0.35 + 0.5 * layer.tint });
      }
    }
    // The caliper: the wall of the hole on both sides, its width drawn larger than it is.
    const steps = data.hole.concat([[data.base]]);
    const sides = [[], []];
    for (let i = 0; i + 1 < steps.length; i += 1) {
      const half = holeHalf(data, lane, steps[i][0]);
      for (const depth of [steps[i][0], steps[i + 1][0]]) {
        sides[0].push(`${lane.middle - half},${s.y(depth)}`);
        sides[1].push(`${lane.middle + half},${s.y(depth)}`);
      }
    }
    const hole = add(g, "polygon", { points: sides[0].concat(sides[1].slice().reverse()).join(" "), class: "hole" });
    add(hole, "title", {}, `Hole ${data.hole_size}`);
    for (const side of sides) add(g, "polyline", { points: side.join(" "), class: "wall" });
  }

  // Water in the rock beside the hole, layer by layer, at the date of the picture.
  function saturation(g, s, lane, state) {
    const { data, flow, at } = state;
    if (!flow || !flow.saturation.length) return;
    const x = lane.strip;
    const wide = lane.middle - lane.hole - 4 - x;
    data.layers.forEach((layer, i) => {
      if (!s.seen(layer.top, layer.base)) return;
      const y = s.y(layer.top);
      const h = Math.max(2, s.y(layer.base) - y);
      const water = (wide * flow.saturation[at][i]) / 100;
      const box = add(g, "g", { class: "rock-water" });
      add(box, "rect", { x, y, width: wide, height: h, class: data.kind.startsWith("gas") ? "rock-gas" : "rock-oil" });
      add(box, "rect", { x, y, width: water, height: h, style: "fill:url(#bw-water)" });
      add(box, "rect", { x, y, width: wide, height: h, class: "rock-edge" });
      add(box, "title", {}, `${layer.name}: water ${number(flow.saturation[at][i])} % of the pores${layer.note ? `, ${layer.note}` : ""}`);
    });
  }

  // The bar stands at the middle of the zone's sand, as far as the zone's name leaves room.
  function barDepth(s, data, zone, y, h, thick) {
    const sands = data.layers.filter((l) => l.zone === zone.name && s.seen(l.top, l.base));
    if (!sands.length) return y + h / 2;
    const top = s.y(Math.max(s.top, Math.min(...sands.map((l) => l.top))));
    const base = s.y(Math.min(s.base, Math.max(...sands.map((l) => l.base))));
    return Math.min(Math.max((top + base) / 2, y + 22 + thick / 2), y + h - 8 - thick / 2);
  }

  // Names of layers at their own depth, where there is room beside the zone's name and its flow.
  function layerNames(node, s, lane, data, zone, y, bar) {
    let free = y + 26;
    for (const layer of data.layers.filter((l) => l.zone === zone.name && s.seen(l.top, l.base))) {
      const top = s.y(Math.max(layer.top, s.top));
      const base = s.y(Math.min(layer.base, s.base));
      const at = Math.max((top + base) / 2 + 4, free);
      const text = layer.note ? `${layer.name}, ${layer.note}` : layer.name;
      const meets = bar && Math.abs(at - 4 - bar.y) < 14 && lane.right - 12 - 6 * text.length < bar.end;
      if (at > base + 2 || meets || !bar) continue;
      add(node, "text", { x: lane.right - 10, y: at, "text-anchor": "end", class: "layer-name" }, text);
      free = at + 14;
    }
  }

  function zones(g, s, lane, state) {
    const { data, flow, base, at, picked } = state;
    const states = statesAt(flow, at);
    const most = state.most;
    data.zones.forEach((zone, z) => {
      if (!s.seen(zone.top, zone.base)) return;
      const y = Math.max(s.y0, s.y(zone.top));
      const end = Math.min(s.y1, s.y(zone.base));
      const h = Math.max(SMALLEST, end - y);
      const said = String(states[zone.name] || "");
      const now = rates(flow, at, z);
      const text = zoneText(data, zone.name, now, flow, at, most, said);
      const node = part(g, state, { kind: "zone", name: zone.name }, `${zone.aria}, ${text}`);
      node.setAttribute("data-depth", zone.top);
      add(node, "rect", { x: lane.rock, y, width: lane.right - lane.rock, height: h, class: "zone-area" });
      if (isShut(said)) add(node, "rect", { x: lane.rock, y, width: lane.right - lane.rock, height: h, fill: "url(#bw-shut)", class: "shut-area" });
      add(node, "path", { d: `M${lane.right - 4},${y + 1} h3 v${h - 2} h-3`, class: "bracket" });
      const tight = h < 40;
      const thick = Math.min(16, Math.max(6, h * 0.28));
      const mid = tight ? y + h / 2 : barDepth(s, data, zone, y, h, thick);
      const x = inflow(node, lane, mid, data, now, base ? rates(base, at, z) : null, most, thick);
      add(node, "text", { x: lane.right - 10, y: tight ? mid - 2 : y + 15, "text-anchor": "end", class: "zone-name" }, zone.name);
      if (h >= 24) {
        const ends = base ? Math.max(x, lane.rock + 12) : x;
        if (tight) add(node, "text", { x: lane.right - 10, y: mid + 12, "text-anchor": "end", class: "zone-flow" }, text);
        else add(node, "text", { x: Math.min(ends + 7, lane.right - 8 - 5.9 * text.length), y: mid + 4, class: "zone-flow" }, text);
      }
      layerNames(node, s, lane, data, zone, y, tight ? null : { y: mid, end: x + 10 + 6 * text.length });
      add(node, "rect", { x: lane.rock + 1, y: y + 1, width: lane.right - lane.rock - 2, height: h - 2, class: "ring" });
    });
  }

  function part(g, state, what, aria) {
    const chosen = state.picked && state.picked.name === what.name && state.picked.kind === what.kind;
    return add(g, "g", {
      class: `part part-${what.kind.replace(" ", "-")}` + (chosen ? " picked" : ""),
      role: "button", tabindex: "-1", "aria-label": aria, "aria-pressed": chosen ? "true" : "false",
      "data-kind": what.kind, "data-name": what.name,
    });
  }

  function string(g, s, lane, state) {
    const { data, flow, at } = state;
    const states = statesAt(flow, at);
    const labels = [];
    const ordered = data.parts.filter((p) => s.seen(p.top, p.base)).sort((a, b) => b.base - b.top - (a.base - a.top));
    const drawn = add(g, "g", { "aria-hidden": "true" });
    for (const p of ordered) {
      const half = holeHalf(data, lane, p.top);
      element(drawn, lane, p, s.y(p.top), Math.max(1.5, s.y(p.base) - s.y(p.top)), half);
    }
    const later = add(g, "g", { "aria-hidden": "true" });
    const straddled = [];
    for (const p of ordered) {
      const y = s.y(p.top);
      const h = s.y(p.base) - y;
      const mid = y + h / 2;
      const said = String(states[p.name] || "");
      if (/straddle/.test(said)) straddled.push(mid);
      else if (/plug/.test(said)) set(later, lane, mid, "plug");
      if (/leak/.test(said)) leak(later, lane, mid, holeHalf(data, lane, p.top));
      const kind = PICKABLE[p.kind];
      if (!kind) {
        if (p.kind === "screen" && p.zone) {
          add(g, "rect", { x: lane.middle - lane.hole - 3, y, width: 2 * lane.hole + 6, height: h, class: "hit", "data-kind": "zone", "data-name": p.zone });
        }
        continue;
      }
      const node = part(g, state, { kind, name: p.name }, p.aria + (said ? `, ${said}` : ""));
      node.setAttribute("data-depth", p.top);
      const tall = Math.max(h, SMALLEST);
      const box = { x: lane.middle - lane.hole - 5, y: mid - tall / 2, width: 2 * lane.hole + 10, height: tall };
      add(node, "rect", { ...box, class: "hit" });
      add(node, "rect", { ...box, class: "ring" });
      labels.push({ node, p, said, want: mid, mid, fits: p.kind !== "blank pipe" || p.fits });
    }
    straddles(later, s, lane, state, straddled.sort((a, b) => a - b));
    for (const label of spread(labels, 14, s.y0 + 6, s.y1 - 4)) name(label, lane, data);
  }

  function straddles(g, s, lane, state, depths) {
    for (let i = 0; i + 1 < depths.length; i += 2) {
      const inner = lane.pipe * 0.36;
      innerStream(g, s, lane, state, depths[i], depths[i + 1], inner - 1);
      for (const side of [-1, 1]) {
        const x = lane.middle + side * inner;
        add(g, "line", { x1: x, x2: x, y1: depths[i], y2: depths[i + 1], class: "inner-pipe" });
      }
    }
    depths.forEach((y) => set(g, lane, y, "straddle"));
  }

  function name(label, lane) {
    const { node, p, at, mid, said } = label;
    const edge = lane.middle - lane.hole - 6;
    add(node, "path", { d: `M${lane.namesEnd - 2},${at} L${lane.namesEnd + 4},${at} L${edge},${mid}`, class: "leader" });
    const most = 18;
    const text = said ? `${p.name}: ${said.replace(/ set$/, "")}` : p.name;
    const short = text.length > most ? text.slice(0, most - 1) + "\u2026" : text;
    add(node, "rect", { x: lane.names, y: at - 7, width: lane.namesEnd - lane.names, height: 14, class: "hit" });
    const written = add(node, "text", { x: lane.namesEnd - 6, y: at + 4, "text-anchor": "end", class: "part-name" + (label.fits ? "" : " unfit") + (said ? " acted" : "") }, short);
    add(written, "title", {}, said ? `${p.name}: ${said}` : p.aria);
  }

  function head(svg, s, lane, state) {
    const node = part(svg, state, { kind: "well", name: "well" }, `Well ${state.data.well}, ${state.data.kind}: pressure and rate`);
    node.setAttribute("data-depth", "-1");
    const w = 96;
    add(node, "rect", { x: lane.middle - w / 2, y: 2, width: w, height: 20, rx: 4, class: "head" });
    add(node, "text", { x: lane.middle, y: 16, "text-anchor": "middle", class: "head-text" }, `Well ${state.data.well}`.slice(0, 15));
    add(node, "rect", { x: lane.middle - w / 2, y: 2, width: w, height: 20, rx: 4, class: "ring" });
    add(svg, "line", { x1: lane.middle - lane.pipe + 2, x2: lane.middle - lane.pipe + 2, y1: 22, y2: s.y0, class: "riser" });
    add(svg, "line", { x1: lane.middle + lane.pipe - 2, x2: lane.middle + lane.pipe - 2, y1: 22, y2: s.y0, class: "riser" });
  }

  function draw(host, state) {
    const width = host.clientWidth || 520;
    const height = host.clientHeight || 560;
    const focused = host.contains(document.activeElement) ? document.activeElement.getAttribute("data-name") : null;
    host.replaceChildren();
    const svg = add(host, "svg", { width, height, viewBox: `0 0 ${width} ${height}`, role: "group", "aria-label": `Well ${state.data.well} to depth. Arrow keys move between its parts, Enter picks one.` });
    patterns(svg);
    const lane = lanes(width);
    const s = scale(state.view.top, state.view.base, 34, height - 8);
    state.scale = s;
    const clip = add(add(svg, "defs"), "clipPath", { id: "bw-clip" });
    add(clip, "rect", { x: 0, y: s.y0, width, height: s.y1 - s.y0 });
    axis(svg, s, lane, state.data);
    const g = add(svg, "g", { "clip-path": "url(#bw-clip)" });
    rock(g, s, lane, state.data);
    saturation(g, s, lane, state);
    stream(g, s, lane, state.flow, state.at, state.data);
    zones(g, s, lane, state);
    string(g, s, lane, state);
    head(svg, s, lane, state);
    blankwise.hands.ready(host, svg, state, focused);
  }

  blankwise.well = { draw };
})();

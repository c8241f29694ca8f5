// What moves: flow along the bore, inflow of the zones, and its words. Numbers come from widgets/picture.py.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});
  const { number } = blankwise.depth;
  const { add } = blankwise.parts;

  function statesAt(flow, at) {
    let found = {};
    for (const [from, states] of flow ? flow.states : []) if (from <= at) found = states;
    return found;
  }

  function rates(flow, at, z) {
    const of = (phase) => (flow && flow.zones[phase] ? flow.zones[phase][at][z] : 0);
    return { oil: of("oil"), water: of("water"), gas: of("gas") };
  }

  function stream(g, s, lane, flow, at, data) {
    if (!flow || !flow.bore.rate.length) return;
    const now = flow.bore.rate[at];
    const most = largestBore(flow);
    const half = (rate) => (lane.pipe - 5) * Math.sqrt(Math.min(1, Math.abs(rate) / most));
    let left = "";
    let right = "";
    flow.bore.spans.forEach(([top, base], i) => {
      const w = half(now[i]);
      left += `${lane.middle - w},${s.y(top)} ${lane.middle - w},${s.y(base)} `;
      right = `${lane.middle + w},${s.y(base)} ${lane.middle + w},${s.y(top)} ` + right;
    });
    add(g, "polygon", { points: left + right, class: "stream" });
    flow.bore.spans.forEach(([top, base], i) => {
      const y = (s.y(top) + s.y(base)) / 2;
      const w = half(now[i]);
      if (w < 2.5 || i % 2) return;
      const up = now[i] >= 0 !== data.kind.endsWith("injector") ? 1 : -1;
      add(g, "path", { d: `M${lane.middle - w * 0.6},${y + 2 * up} L${lane.middle},${y - 2 * up} L${lane.middle + w * 0.6},${y + 2 * up}`, class: "chevron" });
    });
  }

  // The inner pipe of a straddle carries what comes from below it; the bore's own rate there is that of the shut part.
  function innerStream(g, s, lane, state, upper, lower, widest) {
    const { flow, at } = state;
    if (!flow || !flow.bore.rate.length) return;
    const below = flow.bore.spans.findIndex(([top]) => s.y(top) >= lower);
    const rate = below < 0 ? 0 : flow.bore.rate[at][below];
    const w = widest * Math.sqrt(Math.min(1, Math.abs(rate) / largestBore(flow)));
    if (w < 0.3) return;
    add(g, "rect", { x: lane.middle - w, y: upper, width: 2 * w, height: lower - upper, class: "stream" });
  }

  const largestBore = (flow) => Math.max(1e-9, ...flow.bore.rate.map((row) => Math.max(...row.map(Math.abs))));

  const FILL = { oil: "var(--oil)", water: "url(#bw-water)", gas: "url(#bw-gas)" };
  const isGas = (data) => data.kind.startsWith("gas");
  const sum = (now, phases) => phases.reduce((total, phase) => total + now[phase], 0);
  const wide = (data) => (isGas(data) ? ["gas"] : ["oil", "water"]);

  // Inflow of a zone: what the well is for as a wide bar, the rest as a thin one on its own scale; the tip points the
  // way the fluid goes, in a warning colour where that is not the way it should go.
  function inflow(g, lane, y, data, now, before, most, thick) {
    const [main, thin] = isGas(data) ? [["gas"], ["oil", "water"]] : [["oil", "water"], ["gas"]];
    const [scaleMain, scaleThin] = isGas(data) ? [most.gas, most.liquid] : [most.liquid, most.gas];
    const room = lane.right - lane.rock - (isGas(data) ? 196 : 146);  // what is left holds the words
    const start = lane.rock + 12;
    const length = (rate, largest) => (largest > 1e-9 ? (room * Math.abs(rate)) / largest : 0);
    const bars = (phases, largest, top, tall) => {
      let x = start;
      for (const phase of phases) {
        const w = length(now[phase], largest);
        if (w < 0.4) continue;
        add(g, "rect", { x, y: top, width: w, height: tall, class: `bar bar-${phase}`, style: `fill:${FILL[phase]}` });
        x += w;
      }
      return x;
    };
    if (before) {
      const w = length(sum(before, main), scaleMain);
      add(g, "rect", { x: start, y: y - thick / 2 - 2, width: w, height: thick + 4, class: "ghost" });
    }
    const end = bars(main, scaleMain, y - thick / 2, thick);
    bars(thin, scaleThin, y + thick / 2 + 2, 4);
    if (Math.abs(sum(now, main)) > 1e-3 * scaleMain) {
      const backwards = sum(now, main) < 0;
      const away = backwards !== data.kind.endsWith("injector");
      const [tip, back] = away ? [start - 1, start - 9] : [start - 10, start - 2];
      add(g, "polygon", { points: `${tip},${y} ${back},${y - 6} ${back},${y + 6}`, class: backwards ? "tip out" : "tip" });
    }
    return end;
  }

  function largest(...flows) {
    let liquid = 1e-9;
    let gas = 0;
    for (const flow of flows.filter(Boolean)) {
      const oil = flow.zones.oil || [];
      const water = flow.zones.water || [];
      const count = flow.dates.length;
      for (let t = 0; t < count; t += 1) {
        const zones = (oil[t] || water[t] || []).length;
        for (let z = 0; z < zones; z += 1) liquid = Math.max(liquid, Math.abs((oil[t] ? oil[t][z] : 0) + (water[t] ? water[t][z] : 0)));
      }
      for (const row of flow.zones.gas || []) for (const v of row) gas = Math.max(gas, v);
    }
    return { liquid, gas };
  }

  // Whether something changed its state on this very day; rates of that day are still those from before.
  const changesNow = (flow, at, name) => flow.states.some(([from, states]) => from === at && states[name]);

  // 'shut', '191 m3/d, 34 % water', '820 Mscf/d, choked', '12 m3/d though shut'
  function zoneText(data, name, now, flow, at, most, said) {
    if (!flow) return "";
    const gas = isGas(data);
    const total = sum(now, wide(data));
    const unit = gas ? flow.gas_unit : flow.liquid;
    const little = Math.abs(total) < 0.005 * (gas ? most.gas : most.liquid);
    if (isShut(said) && little) return said;
    if (isShut(said)) return `${number(total)} ${unit}` + (changesNow(flow, at, name) ? `, ${said} this day` : ` though ${said}`);
    const state = said ? `, ${said}` : "";
    if (Math.abs(total) < 1e-6) return `no flow${state}`;
    if (gas && !data.kind.endsWith("injector") && now.water > 0.005 * most.liquid) return `${number(total)} ${unit}, water ${number(now.water)} ${flow.liquid}${state}`;
    const cut = gas || total < 0 || data.kind.endsWith("injector") ? 0 : Math.round((100 * now.water) / total);
    return `${number(total)} ${unit}` + (cut >= 1 ? `, ${cut} % water` : "") + state;
  }

  const isShut = (said) => /shut|plug|straddle/.test(said) && !/leak|open/.test(said);

  blankwise.flow = { statesAt, rates, stream, innerStream, inflow, largest, zoneText, isShut };
})();

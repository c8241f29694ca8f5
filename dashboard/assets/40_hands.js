// Mouse and keys on the picture, zoom, the playing date, and the shortcuts of the page.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});
  const state = { data: null, flow: null, base: null, at: 0, picked: null, view: null, most: null, scale: null };
  let host = null;
  let playing = null;

  const redraw = () => state.data && host && blankwise.well.draw(host, state);
  const pick = (node) => {
    const picked = { kind: node.getAttribute("data-kind"), name: node.getAttribute("data-name"), time: Date.now() };
    window.dash_clientside.set_props("picked", { data: picked });
  };
  const inOrder = (svg) =>
    Array.from(svg.querySelectorAll(".part")).sort((a, b) => Number(a.dataset.depth) - Number(b.dataset.depth));

  function zoom(factor, y) {
    const { top, base } = state.view;
    const s = state.scale;
    const middle = y === undefined ? (top + base) / 2 : s.depth(y);
    const full = state.data.base - state.data.top;
    const span = Math.min(full, Math.max(full / 25, (base - top) * factor));
    const share = (middle - top) / (base - top);
    moveTo(middle - share * span, span);
  }

  function moveTo(top, span) {
    const low = Math.min(Math.max(top, state.data.top), state.data.base - span);
    state.view = { top: low, base: low + span };
    redraw();
  }

  function keys(event, svg) {
    const parts = inOrder(svg);
    const here = parts.indexOf(document.activeElement);
    const go = (i) => {
      const next = parts[Math.min(Math.max(i, 0), parts.length - 1)];
      parts.forEach((p) => p.setAttribute("tabindex", p === next ? "0" : "-1"));
      next.focus();
    };
    const act = {
      ArrowDown: () => go(here + 1), ArrowRight: () => go(here + 1), ArrowUp: () => go(here - 1), ArrowLeft: () => go(here - 1),
      Home: () => go(0), End: () => go(parts.length - 1),
      Enter: () => here >= 0 && pick(parts[here]), " ": () => here >= 0 && pick(parts[here]),
      "+": () => zoom(0.7), "=": () => zoom(0.7), "-": () => zoom(1 / 0.7), 0: () => fit(),
    }[event.key];
    if (!act || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    act();
  }

  function fit() {
    state.view = { top: state.data.top, base: state.data.base };
    redraw();
  }

  // Called after each drawing: one part takes the Tab key, the rest are reached by arrows.
  function ready(where, svg, now, focused) {
    const parts = inOrder(svg);
    const same = (p, name) => p.getAttribute("data-name") === name;
    const first = parts.find((p) => focused && same(p, focused)) || parts.find((p) => now.picked && same(p, now.picked.name)) || parts[1] || parts[0];
    if (first) first.setAttribute("tabindex", "0");
    if (focused && first) first.focus({ preventScroll: true });
    svg.addEventListener("click", (event) => {
      const node = event.target.closest("[data-name]");
      if (node) pick(node);
    });
    svg.addEventListener("keydown", (event) => keys(event, svg));
    svg.addEventListener("wheel", (event) => {
      event.preventDefault();
      if (event.shiftKey) moveTo(state.view.top + Math.sign(event.deltaY || event.deltaX) * 0.1 * (state.view.base - state.view.top), state.view.base - state.view.top);
      else zoom(event.deltaY < 0 ? 0.85 : 1 / 0.85, event.offsetY);
    }, { passive: false });
  }
  blankwise.hands = { ready };

  const said = (date) => new Date(date + "T00:00:00Z").toLocaleDateString("en-GB", { month: "short", year: "numeric", timeZone: "UTC" });

  // Draws the well whenever its data, the date or the picked part change; returns the date as text.
  function show(picture, at, picked, depth) {
    host = document.getElementById("well-picture");
    if (!picture || !host) return window.dash_clientside.no_update;
    const data = depth === "tvd" ? blankwise.depth.vertical(picture.well) : picture.well;
    if (!state.data || state.data.well !== data.well || state.data.length !== data.length || state.data.base !== data.base) {
      state.view = { top: data.top, base: data.base };
    }
    const flow = (one) => one && depth === "tvd" ? blankwise.depth.verticalFlow(one, picture.well.true_depths) : one;
    Object.assign(state, { data, flow: flow(picture.flow), base: flow(picture.base), picked });
    if (state.source !== picture) {
      state.source = picture;
      state.most = blankwise.flow.largest(picture.flow, picture.base);
    }
    const dates = picture.flow ? picture.flow.dates : [];
    state.at = Math.min(Math.max(0, at || 0), Math.max(0, dates.length - 1));
    redraw();
    if (dates.length) blankwise.place.at(dates[state.at].slice(0, 7));
    const card = document.querySelector(".card.in-hand");
    if (card) card.scrollIntoView({ block: "nearest", inline: "nearest" });
    return dates.length ? said(dates[state.at]) : "";
  }

  function play(clicks, value, most) {
    const stop = () => {
      clearInterval(playing);
      playing = null;
    };
    if (!clicks) return "Play";
    if (playing) {
      stop();
      return "Play";
    }
    let at = value >= most ? 0 : value;
    playing = setInterval(() => {
      at += 1;
      if (at > most) {
        stop();
        window.dash_clientside.set_props("play", { children: "Play" });
        return;
      }
      window.dash_clientside.set_props("date-of-picture", { value: at });
    }, 90);
    return "Pause";
  }

  window.dash_clientside = Object.assign({}, window.dash_clientside, { well: { show, play, month } });
  // A month of the forecast as a date in words.
  function month(count, picture) {
    const first = new Date((picture ? picture.start : "2000-01").slice(0, 7) + "-01T00:00:00Z");
    first.setUTCMonth(first.getUTCMonth() + Math.round(count || 0));
    return said(first.toISOString().slice(0, 10));
  }

  window.addEventListener("resize", redraw);
  document.addEventListener("keydown", (event) => {
    const typing = /INPUT|TEXTAREA|SELECT/.test(event.target.tagName);
    if (typing || !(event.ctrlKey || event.metaKey)) return;
    const key = event.key.toLowerCase();
    const wanted = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
    if (!wanted) return;
    event.preventDefault();
    const button = document.getElementById(wanted);
    if (button && !button.disabled) button.click();
  });
})();

// Chapters come alive in any frame: figures are drawn when they come into sight, in the theme of the frame, and tables
// can be copied and saved. The frame says its theme by data-theme of the root; without it the browser does.
(function () {
  "use strict";
  const DARK = window.blankwiseDark;
  const CONFIG = { displaylogo: false, responsive: true, modeBarButtonsToRemove: ["lasso2d", "select2d", "autoScale2d"] };
  const PRINTED = 660; // px, the width of figures on paper
  const COLOUR = /#[0-9a-f]{6}\b|rgba\((\d+), ?(\d+), ?(\d+), ?([\d.]+)\)/gi;
  const night = window.matchMedia("(prefers-color-scheme: dark)");
  const drawn = new Set();
  let printing = false;

  const theme = () => (printing ? "light" : document.documentElement.dataset.theme || (night.matches ? "dark" : "light"));
  const hex = (number) => Number(number).toString(16).padStart(2, "0");

  // A colour of light paper on a dark ground; faded ones keep their opacity.
  function darkened(found, red, green, blue, opacity) {
    if (red === undefined) return DARK[found.toLowerCase()] || found;
    const other = DARK[`#${hex(red)}${hex(green)}${hex(blue)}`];
    if (!other) return found;
    const parts = [1, 3, 5].map((at) => parseInt(other.slice(at, at + 2), 16));
    return `rgba(${parts.join(",")},${opacity})`;
  }

  function draw(plot) {
    const text = plot.parentElement.querySelector('script[type="application/json"]').textContent;
    const figure = JSON.parse(theme() === "dark" ? text.replace(COLOUR, darkened) : text);
    figure.layout.font.family = getComputedStyle(plot).fontFamily;
    if (printing) figure.layout.width = PRINTED;
    window.Plotly.react(plot, figure.data, figure.layout, CONFIG);
    drawn.add(plot);
    plot.dataset.theme = theme();
  }

  function again() {
    for (const plot of drawn) {
      if (plot.isConnected) draw(plot);
      else {
        window.Plotly.purge(plot);
        drawn.delete(plot);
      }
    }
  }

  const sight = new IntersectionObserver((seen) => {
    for (const one of seen.filter((one) => one.isIntersecting)) {
      sight.unobserve(one.target);
      if (!drawn.has(one.target)) draw(one.target);
    }
  }, { rootMargin: "900px" });

  // Rows of a table as they were computed, not as they are rounded for reading.
  const cell = (node) => node.dataset.value ?? node.textContent.trim();
  const rows = (table) => Array.from(table.rows, (row) => Array.from(row.cells, cell));
  // A spreadsheet must not take words for a formula.
  const guarded = (text) => (/^[=+\-@]/.test(text) && Number.isNaN(Number(text)) && text !== "-" ? `'${text}` : text);
  const quoted = (text) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

  function copy(table) {
    const box = document.createElement("textarea");
    box.value = rows(table).map((row) => row.map(guarded).join("\t")).join("\n");
    document.body.appendChild(box);
    box.select();
    const done = document.execCommand("copy");
    box.remove();
    return done ? "Copied: paste it into a spreadsheet." : "The browser did not let it be copied.";
  }

  function save(table, name) {
    const text = rows(table).map((row) => row.map((one) => quoted(guarded(one))).join(",")).join("\n");
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob(["\ufeff", text, "\n"], { type: "text/csv" }));
    link.download = `${name.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "")}.csv`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    return `Saved as ${link.download}.`;
  }

  function nameOf(table) {
    const part = table.closest(".part");
    const heading = part && part.firstElementChild.textContent;
    return [heading, table.caption && table.caption.textContent].filter(Boolean).join(" ") || "table";
  }

  function tools(wide) {
    const table = wide.querySelector("table");
    const bar = document.createElement("div");
    bar.className = "table-tools";
    const said = document.createElement("span");
    said.setAttribute("role", "status");
    for (const [word, act] of [["Copy", () => copy(table)], ["CSV", () => save(table, nameOf(table))]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = word;
      button.setAttribute("aria-label", `${word}: ${nameOf(table)}`);
      button.addEventListener("click", () => (said.textContent = act()));
      bar.appendChild(button);
    }
    bar.appendChild(said);
    wide.after(bar);
    if (wide.scrollWidth > wide.clientWidth) {
      wide.tabIndex = 0;
      wide.setAttribute("role", "region");
      wide.setAttribute("aria-label", nameOf(table));
    }
  }

  // Makes what stands below a node alive.
  function dress(root) {
    for (const plot of root.querySelectorAll(".plot")) sight.observe(plot);
    for (const wide of root.querySelectorAll(".wide")) {
      const holder = document.createElement("div");
      wide.replaceWith(holder);
      holder.appendChild(wide);
      tools(wide);
    }
    for (const link of root.querySelectorAll(".contents a")) {
      link.addEventListener("click", (event) => {
        event.preventDefault();
        const chapter = root.querySelector(link.getAttribute("href"));
        chapter.scrollIntoView();
        chapter.querySelector("h2").focus({ preventScroll: true });
      });
    }
  }

  function print(now) {
    printing = now;
    if (now) for (const plot of document.querySelectorAll(".plot")) drawn.add(plot);
    again();
  }

  window.addEventListener("beforeprint", () => print(true));
  window.addEventListener("afterprint", () => print(false));
  night.addEventListener("change", again);
  new MutationObserver(again).observe(document.documentElement, { attributeFilter: ["data-theme"] });
  window.blankwisePaper = { dress, again };
  if (document.body.classList.contains("paper")) dress(document.body);
})();

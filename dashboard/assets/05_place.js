// Where this tab is: its address, its title, and word from other tabs and other people that the project has changed.
(function () {
  "use strict";
  const blankwise = (window.blankwise = window.blankwise || {});
  const NEWS = "blankwise-news";
  let here = null;
  let on = "";

  function write() {
    if (!here || !here.project) return;
    const asked = new URLSearchParams();
    if (here.card) asked.set("w", here.card);
    if (on) asked.set("on", on);
    const wanted = `/p/${here.project}/${here.page}?${asked}`;
    if (location.pathname + location.search !== wanted) history.replaceState(history.state, "", wanted);
    for (const link of document.querySelectorAll(".rail-part .rail-link")) link.search = `?${asked}`;
  }

  // The date of the picture goes into the address.
  const at = (month) => {
    on = month;
    write();
  };

  // The place of the tab goes into the address and the title; a new revision is told to the other tabs.
  function tell(now, name) {
    const before = here;
    here = now;
    mark();
    if (!now || !now.project) {
      document.title = "blankwise";
      return "";
    }
    if (!before || before.project !== now.project) on = new URLSearchParams(location.search).get("on") || "";
    write();
    const well = document.querySelector("#project-name h1");
    document.title = `${well ? well.textContent : ""} \u2013 blankwise`;
    const news = JSON.stringify({ project: now.project, revision: now.revision });
    if (localStorage.getItem(NEWS) !== news) localStorage.setItem(NEWS, news);
    return "";
  }

  function heard(news) {
    if (!here || news.project !== here.project || !(news.revision > here.revision)) return;
    window.dash_clientside.set_props("here", { data: { ...here, revision: news.revision } });
  }

  window.addEventListener("storage", (event) => {
    if (event.key === NEWS && event.newValue) heard(JSON.parse(event.newValue));
  });

  // What others on this server do with the project is asked for when the tab is looked at, and now and then.
  async function ask() {
    if (!here || !here.project || document.hidden) return;
    try {
      const answer = await fetch(`/revision/${here.project}`);
      if (answer.ok) heard(await answer.json());
    } catch (error) {
      // the server is not there just now; the next asking will tell
    }
  }
  // The rail goes to the address that its links have now: with the what-if in hand and the date.
  document.addEventListener("click", (event) => {
    const link = event.target.closest && event.target.closest(".rail-link");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    history.pushState(null, "", link.href);
    window.dispatchEvent(new CustomEvent("_dashprivate_pushstate"));
    document.getElementById("page").focus({ preventScroll: true });
  });
  window.addEventListener("focus", ask);
  setInterval(ask, 10000);

  function look(theme, units) {
    document.documentElement.dataset.theme = theme || "light";
    document.documentElement.dataset.mantineColorScheme = theme || "light";
    return [theme || "light", { theme: theme || "light", units: units || "" }];
  }

  // The answers belong to an older work while what they were drawn from is not what the tab is at.
  let seen = null;
  function mark() {
    const fresh = here && seen && seen.revision === here.revision && seen.card === here.card && !seen.open;
    for (const node of document.querySelectorAll(".answers")) node.classList.toggle("stale", !fresh);
  }

  function drawn(stood) {
    seen = stood;
    mark();
    return "";
  }

  // Text to the clipboard, also where the page came over plain http and the browser keeps its own clipboard shut.
  function copy(clicks, text) {
    if (!clicks || !text) return "";
    const box = document.createElement("textarea");
    box.value = text;
    document.body.appendChild(box);
    box.select();
    const done = document.execCommand("copy");
    box.remove();
    return done ? "Copied: paste it into a spreadsheet." : "The browser did not let it be copied.";
  }

  // The date of a page without a picture, 'Jan 2033', goes into the address too.
  function month(index, said) {
    const day = new Date(`1 ${said} UTC`);
    if (said && !Number.isNaN(day.getTime())) at(day.toISOString().slice(0, 7));
    return "";
  }

  // The list of events is not drawn anew under the hands of somebody who types in it: it waits until the field is left.
  let typed = false;
  let held = null;
  const inList = (node) => node && node.closest && node.closest("#events");
  document.addEventListener("input", (event) => {
    if (inList(event.target) && event.target.type !== "checkbox") typed = true;
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && inList(event.target)) typed = false;
  });
  document.addEventListener("focusout", (event) => {
    if (!inList(event.target)) return;
    typed = false;
    setTimeout(() => {
      if (held && !typed && document.getElementById("events")) window.dash_clientside.set_props("events", { children: held });
      held = null;
    }, 0);
  });
  function calm(made) {
    held = made && typed ? made : null;
    return made && !typed ? made : window.dash_clientside.no_update;
  }

  blankwise.place = { at };
  window.dash_clientside = Object.assign({}, window.dash_clientside, { frame: { tell, look, drawn, copy, month, calm } });
})();

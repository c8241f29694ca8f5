// The time line of a what-if: an event is taken to another date by the mouse, or by arrow keys a month (Page: a year) a press.
(function () {
  "use strict";
  const DAY = 86400000;
  const PAUSE = 450; // ms without a key before a move counts
  let held = null; // {mark, line, date}
  let waiting = null;

  const iso = (time) => new Date(time).toISOString().slice(0, 10);
  const time = (date) => Date.parse(`${date}T00:00:00Z`);
  const said = (date) => new Date(time(date)).toLocaleDateString("en-GB", { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" });

  function inside(line, when) {
    return Math.min(Math.max(when, time(line.dataset.start)), time(line.dataset.end));
  }

  function show(mark, line, date) {
    const start = time(line.dataset.start);
    const share = (time(date) - start) / (time(line.dataset.end) - start);
    mark.style.left = `${(100 * share).toFixed(2)}%`;
    mark.dataset.date = date;
    mark.setAttribute("aria-valuetext", said(date));
    mark.title = said(date);
  }

  // The first of the month that is so many months away.
  function months(date, count) {
    const day = new Date(time(date));
    day.setUTCDate(1);
    day.setUTCMonth(day.getUTCMonth() + count);
    return day.getTime();
  }

  function settle(mark) {
    clearTimeout(waiting);
    waiting = null;
    if (mark.dataset.date === mark.dataset.kept) return;
    const event = mark.dataset.event;
    window.dash_clientside.set_props("event-moved", { data: { event, date: mark.dataset.date, turn: Date.now() } });
    refocus(event);
  }

  // The line is drawn anew with the answer; the hand stays on the same event.
  function refocus(event) {
    const host = document.getElementById("time-line");
    if (!host) return;
    const watch = new MutationObserver(() => {
      const mark = host.querySelector(`.mark-event[data-event="${event}"]`);
      if (mark && document.activeElement === document.body) mark.focus({ preventScroll: true });
      watch.disconnect();
    });
    watch.observe(host, { childList: true, subtree: true });
    setTimeout(() => watch.disconnect(), 5000);
  }

  document.addEventListener("keydown", (event) => {
    const mark = event.target.closest && event.target.closest(".mark-event");
    if (!mark) return;
    const step = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -12, PageUp: 12 }[event.key];
    if (!step) return;
    event.preventDefault();
    const line = mark.parentElement;
    show(mark, line, iso(inside(line, months(mark.dataset.date, step))));
    clearTimeout(waiting);
    waiting = setTimeout(() => settle(mark), PAUSE);
  });

  document.addEventListener("pointerdown", (event) => {
    const mark = event.target.closest && event.target.closest(".mark-event");
    if (!mark || event.button) return;
    held = { mark, line: mark.parentElement };
    mark.setPointerCapture(event.pointerId);
  });

  document.addEventListener("pointermove", (event) => {
    if (!held) return;
    const box = held.line.getBoundingClientRect();
    const share = Math.min(1, Math.max(0, (event.clientX - box.left) / box.width));
    const start = time(held.line.dataset.start);
    const when = start + share * (time(held.line.dataset.end) - start);
    show(held.mark, held.line, iso(inside(held.line, months(iso(when + 15 * DAY), 0))));
  });

  document.addEventListener("pointerup", () => {
    if (held) settle(held.mark);
    held = null;
  });
})();

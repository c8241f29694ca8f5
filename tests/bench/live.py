"""Latency of the live answer in the browser: from a click to changed figures, and from an address to the first page.

Run by hand, asserts nothing: `.venv/bin/python tests/bench/live.py [CASE] [--rounds N] [--detail]`. It serves a case as
`blankwise serve` does, in a process of its own, and drives Debian's chromium. Times are taken inside the page: from
the click, caught before anything else sees it, to the change of what is shown.
"""

from __future__ import annotations

import argparse
import contextlib
import re
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.browser.conftest import FLAGS, SIZE, free_port, started

PATIENCE = 240_000  # ms, for a machine that has to compile first
WATCHED = {"headline figures": "#tiles", "day one": "#at-once", "events": ".events", "page": "#page"}
WATCH = """
window.bench = {from: 0, seen: {}, calls: []};
const start = () => Object.assign(bench, {from: performance.now(), seen: {}, calls: []});
bench.start = start;
addEventListener("click", start, true);
const plain = window.fetch;
window.fetch = async (...given) => {
  const call = {at: performance.now(), what: String(given[0]).slice(-30)};
  const body = given[1] && given[1].body;
  if (typeof body === "string" && body.startsWith("{")) call.what = JSON.parse(body).output.slice(0, 48);
  bench.calls.push(call);
  const answer = await plain(...given);
  call.answered = performance.now();
  call.size = Number(answer.headers.get("Content-Length") || 0);
  return answer;
};
const before = {};
const look = () => {
  for (const [name, place] of Object.entries(WATCHED)) {
    const node = document.querySelector(place);
    const now = node ? node.textContent : "";
    if (now !== before[name]) bench.seen[name] = performance.now();
    before[name] = now;
  }
  const answers = document.querySelector("#answers");
  const fresh = answers !== null && answers.className === "answers";
  if (fresh && !before.fresh) bench.seen["everything"] = performance.now();
  before.fresh = fresh;
};
new MutationObserver(look).observe(document, {
  subtree: true, childList: true, characterData: true, attributes: true, attributeFilter: ["class"]});
"""


@contextlib.contextmanager
def served(case: str) -> Iterator[tuple[str, float]]:
    """A server on a case with projects of its own: its address, and seconds until it said so."""
    run = f"from dashboard.door import serve; serve({case!r}, '127.0.0.1', {free_port()}, False)"
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        for line in started("-c", run, more={"BLANKWISE_PROJECTS": folder}):
            yield re.search(r"http://\S+", line)[0], time.perf_counter() - began  # type: ignore[index]


def since(page: Page) -> dict[str, float]:
    """What changed since the last click, ms after it."""
    found: dict[str, float] = page.evaluate(
        "Object.fromEntries(Object.entries(bench.seen).map(([k, v]) => [k, v - bench.from]))"
    )
    return found


def calls(page: Page) -> list[dict[str, Any]]:
    """Requests since the last click: what for, when sent, when answered (ms after the click), bytes."""
    found: list[dict[str, Any]] = page.evaluate("""bench.calls.map((c) => ({
        what: c.what, at: c.at - bench.from, answered: (c.answered || bench.from) - bench.from, size: c.size}))""")
    return found


def settled(page: Page) -> None:
    """Wait until the figures belong to what was asked, and nothing more is under way."""
    page.wait_for_function("bench.seen['everything'] !== undefined", timeout=PATIENCE)
    expect(page.locator("#status")).not_to_contain_text("Computing", timeout=PATIENCE)
    page.wait_for_load_state("networkidle")


def told(name: str, rounds: list[dict[str, float]]) -> None:
    """A line: best, median and worst of several rounds."""
    times = [one[name] for one in rounds if name in one]
    if times:
        said = f"best {min(times):5.0f}, median {statistics.median(times):5.0f}, worst {max(times):5.0f} ms"
        print(f"  {name:18s} {said} of {len(times)}")


def detail(page: Page) -> None:
    """The requests of the last round."""
    for call in calls(page):
        print(f"    {call['at']:6.0f} to {call['answered']:6.0f} ms, {call['size'] or 0:7.0f} B  {call['what']}")


def jobs(page: Page, names: list[str], rounds: int, show: bool, think: float) -> list[dict[str, float]]:
    """Shut one zone after another, each on a what-if of its own; think: ms between picking a zone and its job."""
    found = []
    for k in range(rounds):
        page.locator("button", has_text=re.compile("^New$")).click()
        settled(page)
        page.locator(f"#well-picture .part-zone[data-name='{names[k % len(names)]}']").first.click(
            position={"x": 60, "y": 8}
        )
        page.wait_for_timeout(think)
        page.get_by_role("button", name="Shut it", exact=True).click()
        settled(page)
        found.append(since(page))
        if show:
            detail(page)
    return found


def moves(page: Page, rounds: int, show: bool) -> list[dict[str, float]]:
    """Switch the event of the what-if in hand off and on again, after its date was moved by a month."""
    found = []
    for k in range(rounds):
        date = page.locator(".event input[aria-label^='Date of']").first
        date.fill(f"2032-{1 + k % 12:02d}-01")
        page.evaluate("bench.start()")
        date.press("Enter")
        date.blur()
        settled(page)
        found.append(since(page))
        if show:
            detail(page)
    return found


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("case", nargs="?", default="cases/magpie")
    asked.add_argument("--rounds", type=int, default=6)
    asked.add_argument("--detail", action="store_true")
    given = asked.parse_args()
    with sync_playwright() as playwright, served(given.case) as (address, ready):
        print(f"server ready after {ready:.2f} s (interpreter, case, project)")
        chromium = shutil.which("chromium")
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
            browser = playwright.chromium.launch_persistent_context(
                profile, executable_path=chromium, args=FLAGS, viewport=SIZE
            )
            page = browser.pages[0]
            page.set_default_timeout(PATIENCE)
            page.add_init_script(WATCH.replace("WATCHED", repr(WATCHED), 1))
            for visit in ("first", "second", "third"):
                page.goto(address)
                expect(page.locator("#well-picture svg")).to_be_visible(timeout=PATIENCE)
                expect(page.locator(".tile").first).to_be_visible(timeout=PATIENCE)
                settled(page)
                print(f"{visit} visit, from the address to what is shown")
                for name in (*WATCHED, "everything"):
                    told(name, [since(page)])
                if given.detail:
                    detail(page)
            parts = page.locator("#well-picture .part-zone")
            said = parts.evaluate_all("all => all.map((n) => [n.dataset.name, n.getAttribute('aria-label')])")
            able = [name for name, words in said if "cannot be shut" not in words]
            for think, words in ((0.0, "at once"), (1000.0, "after a second's thought")):
                print(f"pick a zone, {words} 'Shut it': from that click")
                rounds = jobs(page, able, given.rounds, given.detail, think)
                for name in ("events", "day one", "headline figures", "everything"):
                    told(name, rounds)
            print("another date for the job")
            rounds = moves(page, given.rounds, given.detail)
            for name in ("events", "day one", "headline figures", "everything"):
                told(name, rounds)
            browser.close()


if __name__ == "__main__":
    main()

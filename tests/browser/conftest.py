"""A browser and two servers: one on the invented engine (all about the screens), one as `blankwise serve` runs it."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Playwright, expect, sync_playwright

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
ROOT = Path(__file__).parents[2]
SIZE = {"width": 1280, "height": 800}
PATIENCE = 20_000  # ms


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "browser: opens the pages in Debian's chromium")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker("browser")


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Playwright, for the whole run."""
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """Debian's chromium, for the whole run."""
    found = shutil.which("chromium")
    assert found, "these tests need Debian's chromium: apt-get install chromium"
    browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def browser_of(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Open a profile of its own, with nothing kept of any other, and a page in it."""
    opened: list[BrowserContext] = []

    def start(**options: Any) -> BrowserContext:
        context = chromium.new_context(viewport=SIZE, **options)
        context.set_default_timeout(PATIENCE)
        context.new_page()
        opened.append(context)
        return context

    yield start
    for context in opened:
        context.close()


@pytest.fixture
def visit(browser_of: Callable[..., BrowserContext]) -> Callable[..., Page]:
    """Open an address in a browser of its own and wait until the well and its numbers are there."""

    def go(address: str, patience: float = PATIENCE) -> Page:
        page = browser_of().pages[0]
        watch(page, address)
        page.goto(address)
        ready(page, patience)
        return page

    return go


def watch(page: Page, address: str) -> None:
    """Collect console errors, page errors, failed answers and requests to anywhere else, in page.troubles."""
    troubles: list[str] = []
    page.troubles = troubles  # type: ignore[attr-defined]
    page.on("console", lambda m: troubles.append(f"console: {m.text}") if m.type == "error" else None)
    page.on("pageerror", lambda error: troubles.append(f"page: {error}"))
    page.on("response", lambda r: troubles.append(f"{r.status}: {r.url}") if r.status >= 400 else None)
    inside = ("/".join(address.split("/")[:3]) + "/", "data:", "blob:")
    page.on("request", lambda r: None if r.url.startswith(inside) else troubles.append(f"outside: {r.url}"))


def ready(page: Page, patience: float = PATIENCE) -> None:
    """Wait until the well is drawn and the answers are not stale."""
    expect(page.locator("#well-picture svg")).to_be_visible()
    expect(page.locator(".tile").first).to_be_visible(timeout=patience)
    settled(page, patience)


def settled(page: Page, patience: float = PATIENCE) -> None:
    """Wait until the answers belong to what was asked."""
    expect(page.locator("#answers")).to_have_class("answers", timeout=patience)


def tile(page: Page, name: str) -> Locator:
    """Where a headline number stands: compare with `expect`, which waits for the answer to come."""
    return page.locator(f".tile[data-figure='{name}'] .tile-value")


def figure(page: Page, name: str) -> str:
    """The text of a headline number as it stands, to compare later ones with."""
    return tile(page, name).inner_text()


@pytest.fixture
def keep(tmp_path: Path, request: pytest.FixtureRequest) -> Callable[[Page, str], Path]:
    """Save a screenshot into the folder named by BLANKWISE_SCREENSHOTS, or into tests/browser/seen."""
    folder = Path(os.environ.get("BLANKWISE_SCREENSHOTS") or Path(__file__).parent / "seen")
    folder.mkdir(parents=True, exist_ok=True)

    def save(page: Page, name: str) -> Path:
        path = folder / f"{re.sub(r'[^a-z0-9]+', '-', name.lower())}.png"
        page.screenshot(path=path)
        return path

    return save


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def started(*command: str, more: dict[str, str] | None = None) -> Iterator[str]:
    """A server in a process of its own, from the moment that it says where it is; the line in which it does."""
    environment = {**os.environ, **(more or {})}
    with subprocess.Popen(
        [sys.executable, *command], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env=environment,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        said: list[str] = []
        for line in process.stdout:
            said.append(line)
            if "blankwise is at" in line:
                break
        assert said and "blankwise is at" in said[-1], "".join(said)
        drain = threading.Thread(target=process.stdout.read, daemon=True)
        drain.start()
        try:
            yield said[-1]
        finally:
            process.terminate()
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()
            drain.join(10)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server on the invented engine."""
    port = free_port()
    for _ in started("-m", "tests.browser.serve_invented", str(port), str(tmp_path_factory.mktemp("projects"))):
        yield f"http://127.0.0.1:{port}/"


@pytest.fixture
def invented(server: str) -> str:
    """The address of a new project on the invented engine."""
    with urllib.request.urlopen(f"{server}make") as answer:
        return server.rstrip("/") + answer.read().decode()


@pytest.fixture(scope="session")
def team(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server for a team of two, ann and bob, on the invented engine."""
    port = free_port()
    folder = tmp_path_factory.mktemp("team")
    for _ in started("-m", "tests.browser.serve_invented", str(port), str(folder), "ann", "bob"):
        yield f"http://127.0.0.1:{port}/"


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server started as `blankwise serve` starts it, on the shipped oil producer."""
    port = free_port()
    serve = f"from dashboard.door import serve; serve('cases/magpie', '127.0.0.1', {port}, False)"
    folder = {"BLANKWISE_PROJECTS": str(tmp_path_factory.mktemp("served"))}
    for line in started("-c", serve, more=folder):
        yield re.search(r"http://\S+", line)[0]  # type: ignore[index]

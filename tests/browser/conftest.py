"""A workbench, and a person's browser in front of it."""

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    expect,
    sync_playwright,
)

from tests.browser.serving import Server

ROOT = Path(__file__).parents[2]
OUT = Path(__file__).parent / "out"
PAGES = ROOT / "src" / "lidoff" / "bench" / "pages"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
SLOWEST_MS = 30_000
NOT_THE_PAGE = r"Failed to load resource|net::ERR|Cross-Origin-Opener-Policy header has been ignored"

expect.set_options(timeout=SLOWEST_MS)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    assert CHROMIUM is not None, "no Chromium on the PATH; on Debian: apt-get install chromium"
    assert (PAGES / "index.html").is_file(), "the pages are not built: run scripts/build_pages.py"
    started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
    yield started
    started.close()


@pytest.fixture
def empty_server(tmp_path: Path) -> Iterator[Server]:
    folder = tmp_path / "teardown"
    folder.mkdir()
    server = Server(folder, tmp_path)
    server.start()
    yield server
    server.end()


def copy_of_demo(name: str, beside: Path) -> Path:
    folder = beside / name
    shutil.copytree(ROOT / "demos" / name, folder)
    return folder


def demo_server(name: str, beside: Path) -> Server:
    server = Server(copy_of_demo(name, beside), beside)
    server.start()
    return server


@pytest.fixture(scope="module")
def lure(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo with the most parts; tests that use it change nothing."""
    server = demo_server("insect-lure", tmp_path_factory.mktemp("lure"))
    yield server
    server.end()


@pytest.fixture
def night_light(tmp_path: Path) -> Iterator[Server]:
    server = demo_server("night-light", tmp_path)
    yield server
    server.end()


Opens = Callable[..., Page]


@pytest.fixture
def opened(browser: Browser) -> Iterator[Opens]:
    """Opens a page on a workbench; at the end no page may have complained."""
    contexts: list[BrowserContext] = []
    complaints: list[str] = []

    def listen(message: ConsoleMessage) -> None:
        # What the server refuses or cannot be asked for shows on the page; here only faults of the page's own count. A phone
        # comes over plain HTTP, where the browser says that it leaves one of the headers aside.
        if message.type == "error" and not re.search(NOT_THE_PAGE, message.text):
            complaints.append(message.text)

    def open_page(
        server: Server,
        place: str = "",
        *,
        size: tuple[int, int] = (1440, 900),
        theme: str = "light",
        motion: str = "no-preference",
        context: BrowserContext | None = None,
        touch: bool = False,
    ) -> Page:
        if context is None:
            width, height = size
            context = browser.new_context(
                viewport={"width": width, "height": height},
                color_scheme=theme,  # type: ignore[arg-type]
                reduced_motion=motion,  # type: ignore[arg-type]
                has_touch=touch,
                accept_downloads=True,
            )
            contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(SLOWEST_MS)
        page.on("console", listen)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(server.address)
        if place:
            page.goto(server.address.split("/enter")[0] + f"/{place}")
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert [] == complaints


@pytest.fixture(scope="session")
def pictures() -> Path:
    """Where pictures of the pages are kept, to be looked at."""
    OUT.mkdir(exist_ok=True)
    return OUT

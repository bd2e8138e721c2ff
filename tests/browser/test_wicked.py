"""A dossier that is called by texts that would act, on every place of the page: none of them does."""

from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.bench.running import running
from tests.bench.test_wicked import WICKED, call_by_wicked_texts, wicked_lamp
from tests.browser.serving import Server

PLACES = ("evidence", "boards", "circuit", "findings", "publish", "shelf")
WATCH = """() => {
    window.harm = [];
    window.alert = (said) => window.harm.push(`alert ${said}`);
    document.addEventListener("securitypolicyviolation", (event) =>
        window.harm.push(`${event.violatedDirective} ${event.blockedURI} ${event.sample}`));
}"""


def test_no_text_acts_on_any_place(tmp_path: Path, opened: Callable[..., Page]) -> None:
    folder = tmp_path / "wicked"
    with running(folder, wicked_lamp()) as inside:
        call_by_wicked_texts(inside)
    server = Server(folder, tmp_path)
    server.start()
    try:
        page = opened(server)
        page.add_init_script(f"({WATCH})()")
        page.on("dialog", lambda dialog: (_ for _ in ()).throw(AssertionError(dialog.message)))
        for place in PLACES:
            page.goto(f"{server.address.split('/enter')[0]}/{place}")
            expect(page.get_by_text(WICKED[0]).first).to_be_visible()
            page.wait_for_timeout(1500)
            for frame in page.frames:
                # In the report's own frame only its own script runs.
                assert [] == (frame.evaluate("window.harm ?? []")), place
                assert 0 == frame.locator("img[src='x'], svg[onload], [onerror]").count(), place
    finally:
        server.end()

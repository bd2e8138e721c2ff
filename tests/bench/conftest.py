"""One server for all tests that change nothing."""

from collections.abc import Iterator

import pytest

from lidoff.bench import built_pages
from tests.bench.running import Running, running


@pytest.fixture(scope="package")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server that nobody may change anything in."""
    with running(tmp_path_factory.mktemp("shared")) as server:
        yield server


@pytest.fixture(scope="package", autouse=True)
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Pages of a line each in place of the built ones, so that no test waits for these."""
    folder = tmp_path_factory.mktemp("pages")
    (folder / "assets").mkdir()
    for name in ("index.html", "phone.html"):
        (folder / name).write_text(f"<!doctype html><title>{name}</title>", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(built_pages, "pages_folder", lambda: folder)
        yield

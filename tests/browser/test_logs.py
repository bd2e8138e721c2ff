"""A log dropped on the evidence page: drawn, told in words, named in the dossier, and taken as a reading."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.conftest import Opens
from tests.browser.serving import Server

LOG = "Zeit;U [V];I [mA]\n0;5,02;77,1\n1;5,02;77,0\n2;5,01;OL\n3;5,02;76,9\n10;5,02;76,8\n11;5,02;-3\n"


def test_a_dropped_log_is_named_told_and_taken_as_a_reading(
    opened: Opens, night_light: Server, tmp_path: Path
) -> None:
    file = tmp_path / "evening.csv"
    file.write_text(LOG, "utf-8")
    page = opened(night_light, "evidence")
    logs = page.get_by_role("region", name="Logs")
    logs.locator("input[type=file]").first.set_input_files(file)
    row = logs.locator("li.row").filter(has_text="evening.csv")
    expect(row.get_by_role("img", name="logs/evening.csv")).to_be_visible()
    for words in (
        "Gap: line 5",
        "I was beyond its range once",
        "I is negative in 1 of 5 rows",
        "taken as seconds",
    ):
        expect(row.get_by_text(words)).to_be_visible()
    row.get_by_role("button", name="Take as a reading: charge from evening").click()
    expect(row.get_by_text("reading evening_charge is taken from it")).to_be_visible()
    reading = page.locator("[id='readings.evening_charge']")
    expect(reading.get_by_text("from the log evening")).to_be_visible()
    expect(reading.locator(".shown")).to_contain_text("Ah", timeout=120_000)

import os
import stat
from pathlib import Path

import pytest

from lidoff.dossier import dossier_from_text, load_dossier, save_dossier, start_dossier
from lidoff.errors import OutputRefused
from tests.dossier.build import lamp


def test_what_is_saved_loads_as_it_was(tmp_path: Path) -> None:
    save_dossier(lamp(), tmp_path / "new" / "folder")
    assert lamp() == load_dossier(tmp_path / "new" / "folder")


def test_readings_without_power_are_saved_as_they_were(tmp_path: Path) -> None:
    written = """[device]
title = "lamp"
[readings.ohms]
resistance = "usb_5v"
against = "gate"
shown = "4.7 kΩ"
[readings.drop]
diode = "usb_5v"
shown = "0.6 V"
"""
    dossier = dossier_from_text(written)
    save_dossier(dossier, tmp_path)
    assert load_dossier(tmp_path).readings == dossier.readings
    first, second = dossier.readings
    assert str(first.target) == "resistance from usb_5v to gate, without power"
    assert str(second.target) == "diode range from usb_5v to the ground, without power"


def test_the_file_may_be_named_too(tmp_path: Path) -> None:
    assert tmp_path / "dossier.toml" == save_dossier(lamp(), tmp_path / "dossier.toml")


def test_nothing_but_the_file_is_left_in_the_folder(tmp_path: Path) -> None:
    save_dossier(lamp(), tmp_path)
    save_dossier(lamp(), tmp_path)
    assert ["dossier.toml"] == [file.name for file in tmp_path.iterdir()]


def test_permissions_of_the_old_file_are_kept(tmp_path: Path) -> None:
    file = save_dossier(lamp(), tmp_path)
    file.chmod(0o640)
    save_dossier(lamp(), tmp_path)
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    kept = save_dossier(lamp(), tmp_path / "kept")
    (tmp_path / "shown").mkdir()
    link = tmp_path / "shown" / "dossier.toml"
    link.symlink_to(kept)
    save_dossier(lamp(('title = "lamp"', 'title = "torch"')), tmp_path / "shown")
    assert link.is_symlink()
    assert load_dossier(tmp_path / "kept").device.title == "torch"


def test_a_full_disk_leaves_the_old_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    save_dossier(lamp(), tmp_path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(
        OutputRefused, match=r"dossier\.toml cannot be written here \(No space left on device\)"
    ):
        save_dossier(lamp(('title = "lamp"', 'title = "torch"')), tmp_path)
    assert lamp() == load_dossier(tmp_path)
    assert ["dossier.toml"] == [file.name for file in tmp_path.iterdir()]


def test_an_interrupt_leaves_the_old_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    save_dossier(lamp(), tmp_path)

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        save_dossier(lamp(('title = "lamp"', 'title = "torch"')), tmp_path)
    assert lamp() == load_dossier(tmp_path)
    assert ["dossier.toml"] == [file.name for file in tmp_path.iterdir()]


def test_the_new_text_is_on_the_disk_before_it_takes_the_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    fsync, replace = os.fsync, os.replace

    def flushing(handle: int) -> None:
        done.append("flush")
        fsync(handle)

    def replacing(source: str, target: Path) -> None:
        done.append("replace")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", flushing)
    monkeypatch.setattr(os, "replace", replacing)
    save_dossier(lamp(), tmp_path)
    assert ["flush", "replace", "flush"] == done


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(OutputRefused, match=r"cannot be written here .*; check the folder's permissions"):
        save_dossier(lamp(), tmp_path / "file" / "folder")


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to the superuser")
def test_a_folder_without_write_permission_is_refused(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(OutputRefused, match="Permission denied"):
            save_dossier(lamp(), tmp_path)
    finally:
        tmp_path.chmod(0o700)


def test_a_refused_folder_is_told_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(*_: object, **__: object) -> tuple[int, str]:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", forbidden)
    with pytest.raises(OutputRefused, match=r"dossier\.toml cannot be written here \(Permission denied\)"):
        start_dossier(tmp_path / "new")

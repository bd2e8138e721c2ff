"""From a command line to an exit code and one clear message."""

import errno
import os
import subprocess
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable

import pytest

import lidoff
from lidoff.cli import main
from lidoff.cli.command import Command
from lidoff.errors import DossierError, NetsUnsettled


def folder_argument(parser: ArgumentParser) -> None:
    parser.add_argument("folder", nargs="?")


def command(run: Callable[[Namespace], None], name: str = "weigh") -> Command:
    """An invented command that does what a test asks for."""
    return Command(
        name=name,
        summary="weigh the parts",
        description="Weighs the parts.",
        example=f"lidoff {name} scales",
        arguments=folder_argument,
        run=run,
    )


def failing(error: BaseException) -> Command:
    def run(_: Namespace) -> None:
        raise error

    return command(run)


def test_a_command_that_ran_gives_zero() -> None:
    assert 0 == main(["weigh"], commands=[command(lambda _: None)])


def test_a_command_gets_its_arguments() -> None:
    seen = []
    main(["weigh", "scales"], commands=[command(lambda arguments: seen.append(arguments.folder))])
    assert ["scales"] == seen


def test_unusable_input_gives_two_and_says_what_where_and_what_to_do(
    capsys: pytest.CaptureFixture[str],
) -> None:
    error = DossierError("no instrument", where="dossier.toml, line 41", remedy="add one")
    assert 2 == main(["weigh"], commands=[failing(error)])
    assert [
        "error: no instrument",
        "  where:      dossier.toml, line 41",
        "  what to do: add one",
    ] == capsys.readouterr().err.splitlines()


def test_an_unsettled_circuit_gives_three() -> None:
    assert 3 == main(["weigh"], commands=[failing(NetsUnsettled("gate moves"))])


def test_ctrl_c_gives_130_and_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert 130 == main(["weigh"], commands=[failing(KeyboardInterrupt())])
    assert "stopped with Ctrl-C before the end\n" == capsys.readouterr().err


def test_a_refusal_by_the_computer_names_the_file(capsys: pytest.CaptureFixture[str]) -> None:
    error = PermissionError(13, "Permission denied", "out/report.html")
    assert 2 == main(["weigh"], commands=[failing(error)])
    told = capsys.readouterr().err
    assert "Permission denied" in told
    assert "out/report.html" in told


def test_a_full_disk_behind_what_is_printed_is_no_fault_of_our_own(
    capsys: pytest.CaptureFixture[str],
) -> None:
    error = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    assert 2 == main(["weigh"], commands=[failing(error)])
    assert "make room on the disk" in capsys.readouterr().err


def test_the_package_runs_as_a_module() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "lidoff", "--version"], capture_output=True, text=True, check=True
    )
    assert ran.stdout.startswith("lidoff ")


def test_a_fault_of_our_own_gives_one_and_asks_for_a_report(capsys: pytest.CaptureFixture[str]) -> None:
    assert 1 == main(["weigh"], commands=[failing(KeyError("gate"))])
    told = capsys.readouterr().err
    assert told.startswith("error: lidoff itself failed (KeyError: 'gate')")
    assert "please report it" in told
    assert "Traceback" not in told


@pytest.mark.parametrize("words", [["--debug", "weigh"], ["weigh", "--debug"]])
def test_debug_shows_where_in_the_program(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert 1 == main(words, commands=[failing(KeyError("gate"))])
    assert "Traceback" in capsys.readouterr().err


def test_debug_can_be_set_in_the_environment(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("LIDOFF_DEBUG", "1")
    assert 1 == main(["weigh"], commands=[failing(KeyError("gate"))])
    assert "Traceback" in capsys.readouterr().err


def test_an_unusable_input_shows_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("LIDOFF_DEBUG", raising=False)
    main(["weigh"], commands=[failing(DossierError("broken"))])
    assert "Traceback" not in capsys.readouterr().err


def test_a_misspelt_command_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["wiegh"], commands=[command(lambda _: None)])
    assert [
        "error: there is no command 'wiegh'",
        "  what to do: did you mean 'weigh'? (known: weigh)",
    ] == capsys.readouterr().err.splitlines()


def test_an_unknown_option_points_to_the_help_of_its_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert 2 == main(["weigh", "--loud"], commands=[command(lambda _: None)])
    told = capsys.readouterr().err
    assert "unrecognized arguments: --loud" in told
    assert "--help tells what it takes" in told


def test_an_option_is_not_guessed_from_its_first_letters() -> None:
    assert 2 == main(["weigh", "--deb"], commands=[command(lambda _: None)])


def test_no_command_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main([], commands=[command(lambda _: None)])
    assert "weigh the parts" in capsys.readouterr().out


def test_the_installed_command_prints_its_version() -> None:
    program = "import sys; from lidoff.cli import main; sys.exit(main(['--version']))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout == f"lidoff {lidoff.__version__}\n"


def test_a_reader_that_leaves_early_is_no_error() -> None:
    program = (
        "import sys; from lidoff.cli import main; from lidoff.cli.command import Command\n"
        "many = Command('many', '', '', '', lambda parser: None, lambda _: print('line\\n' * 200000))\n"
        "sys.exit(main(['many'], commands=[many]))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as done:
        assert done.stdout is not None
        assert done.stderr is not None
        done.stdout.readline()
        done.stdout.close()
        told = done.stderr.read()
    assert (done.returncode, told) == (0, b"")


def test_a_terminal_without_ohm_signs_gets_an_escape() -> None:
    program = (
        "from lidoff.cli import main; from lidoff.cli.command import Command\n"
        "main(['say'], commands=[Command('say', '', '', '', lambda parser: None, lambda _: print('4.7 kΩ'))])"
    )
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, env=environment, check=True)
    assert b"4.7 k\\u03a9\n" == done.stdout

"""The help that a newcomer reads, over all commands."""

import shlex

import pytest

from lidoff.cli import main
from lidoff.cli.command import Command
from lidoff.cli.commands import COMMANDS
from lidoff.cli.parser import argument_parser

NAMES = [command.name for command in COMMANDS]


def help_of(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    with pytest.raises(SystemExit, match="0"):
        main([*words, "--help"])
    return capsys.readouterr().out


def test_the_help_lists_every_command_with_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    lines = help_of([], capsys).splitlines()
    told = {line.split(maxsplit=1)[0]: line.split(maxsplit=1)[1] for line in lines if line.startswith("  ")}
    assert {command.name: command.summary for command in COMMANDS}.items() <= told.items()


@pytest.mark.parametrize("command", COMMANDS, ids=NAMES)
def test_the_help_of_a_command_shows_its_example(
    command: Command, capsys: pytest.CaptureFixture[str]
) -> None:
    assert f"example:\n  {command.example}\n" in help_of([command.name], capsys)


@pytest.mark.parametrize("command", COMMANDS, ids=NAMES)
def test_the_example_of_a_command_can_be_read(command: Command) -> None:
    program, *words = shlex.split(command.example)
    assert "lidoff" == program
    assert argument_parser(COMMANDS).parse_args(words).command == command.name


@pytest.mark.parametrize("command", COMMANDS, ids=NAMES)
def test_the_help_fits_a_terminal_of_100_columns(
    command: Command, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    lines = help_of([command.name], capsys).splitlines() + help_of([], capsys).splitlines()
    assert [] == [line for line in lines if len(line) > 100]


def test_no_two_commands_share_a_name() -> None:
    assert len(set(NAMES)) == len(NAMES)

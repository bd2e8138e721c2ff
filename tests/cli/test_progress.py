"""How far a long step has come."""

import io

from hypothesis import given
from hypothesis import strategies as st

from lidoff.cli.progress import progress_line, progress_text


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_nothing_is_shown_where_nobody_watches() -> None:
    stream = io.StringIO()
    with progress_line(stream) as report:
        assert report is None
    assert "" == stream.getvalue()


def test_a_terminal_sees_each_step_on_one_line() -> None:
    stream = Terminal()
    with progress_line(stream) as report:
        assert report is not None
        report("solving idle", 0.25)
    assert " 25 %  solving idle" in stream.getvalue()
    assert "\n" not in stream.getvalue()


def test_the_line_is_wiped_at_the_end() -> None:
    stream = Terminal()
    with progress_line(stream) as report:
        assert report is not None
        report("solving idle", 0.25)
    assert stream.getvalue().endswith("\r\x1b[K")


@given(step=st.text(max_size=200), width=st.integers(min_value=2, max_value=200))
def test_a_line_never_wraps(step: str, width: int) -> None:
    assert len(progress_text(step, 0.25, width)) < width

"""Small logs for the tests of this room."""

from lidoff.evidence.logs import Log, LogHints, read_log


def log_of(
    text: str,
    *,
    decimal: str = "",
    separator: str = "",
    time: str = "",
    every: str = "",
    columns: tuple[str, ...] = (),
    units: dict[str, str] | None = None,
) -> Log:
    hints = LogHints(
        decimal=decimal, separator=separator, time=time, every=every, columns=columns, units=units or {}
    )
    return read_log(text.encode(), name="test.csv", hints=hints)


def told(log: Log, about: str) -> str:
    """What a log says about one thing; an empty text where it says nothing."""
    return "; ".join(str(remark) for remark in log.remarks if remark.about == about)

"""What ``lidoff analyse`` prints: the report in plain words for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import TextWrapper

from lidoff.dossier import Analysis, UnsolvedSituation
from lidoff.evidence import CannotTell, ClaimResult
from lidoff.report.sections.cautions import DEFERENCE, NONE_NAMED, caution_texts
from lidoff.report.sections.findings import own_findings
from lidoff.report.sections.found import plain_summary
from lidoff.report.sections.misfits import misfit_lines
from lidoff.report.subject import deliveries, situation_heading
from lidoff.report.words import heading, odds, plain_name, sentence, typeset, verdict_words

__all__ = ["WIDTH", "summary_text"]

WIDTH = 80
INDENT = "  "


def summary_text(analysis: Analysis, *, width: int = WIDTH) -> str:
    """Summary of an analysis for a terminal.

    Parameters
    ----------
    analysis : Analysis
    width : int, optional
        Columns; no line is longer, but for a single word that is.

    Returns
    -------
    str
        Lines without a trailing newline: what was found, claims with verdict and sum, misfits, readings not
        compared, findings, situations, cautions, and what was not checked.
    """
    blocks = (
        _head(analysis),
        _found(analysis),
        _claims(analysis),
        _misfits(analysis),
        _not_compared(analysis),
        _findings(analysis),
        _situations(analysis),
        _cautions(analysis),
        _not_checked(analysis),
    )
    lines: list[str] = []
    for block in blocks:
        wrapped = [line for depth, text in block for line in _wrapped(text, depth, width)]
        if wrapped:
            lines.extend(["", *wrapped] if lines else wrapped)
    return "\n".join(line.rstrip() for line in lines)


Lines = Iterable[tuple[int, str]]
"""Each paragraph with how deep it is set in; an empty text is an empty line."""


def _wrapped(text: str, depth: int, width: int) -> list[str]:
    if not text:
        return [""]
    indent = INDENT * depth
    wrapper = TextWrapper(
        width=width,
        initial_indent=indent,
        subsequent_indent=indent + INDENT * text.startswith("- "),
        break_long_words=False,
        break_on_hyphens=False,
    )
    lines = wrapper.wrap(typeset(text).replace("\n", " "))
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]


def _titled(title: str, lines: Lines) -> Iterator[tuple[int, str]]:
    """Lines under a title; nothing where there are none."""
    told = list(lines)
    if told:
        yield 0, title
        yield 0, "─" * len(title)
        yield from told


def _head(analysis: Analysis) -> Lines:
    device = analysis.dossier.device
    named = " · ".join(text for text in (device.title, device.maker, device.model) if text)
    yield 0, named or "A device without a title"
    if device.summary:
        yield 0, device.summary
    if analysis.dossier.invented:
        yield 0, f"Invented demonstration: {analysis.dossier.invented}"


def _found(analysis: Analysis) -> Lines:
    return _titled("What we found", [(0, text) for text in plain_summary(analysis)])


def _claims(analysis: Analysis) -> Lines:
    return _titled("Claims", _spaced(_claim(result) for result in analysis.claims))


def _claim(result: ClaimResult) -> Lines:
    where = f" ({result.claim.where})" if result.claim.where else ""
    yield 0, f"“{result.claim.says}”{where}: {verdict_words(result.verdict)}"
    yield 1, result.sum
    if likely := odds(result.verdict):
        yield 1, likely
    if isinstance(result.verdict, CannotTell) and result.verdict.needs:
        yield 1, f"what would tell: {result.verdict.needs}"


def _misfits(analysis: Analysis) -> Lines:
    off = sorted(
        (one for one in analysis.comparisons if one.fit != "agrees"), key=lambda one: -abs(one.score)
    )
    told = []
    for one in off:
        title = f"{heading(plain_name(one.reading))} ({one.fit})"
        told.append([(0, title), *((1, line) for line in misfit_lines(analysis, one))])
    return _titled("Misfits", _spaced(told))


def _not_compared(analysis: Analysis) -> Lines:
    return _titled(
        "Readings that could not be compared",
        [
            (0, sentence(f"- {heading(plain_name(one.measured.name))}: {one.why}"))
            for one in analysis.uncompared
        ],
    )


def _findings(analysis: Analysis) -> Lines:
    told: list[Lines] = []
    for finding in own_findings(analysis):
        lines: list[tuple[int, str]] = [
            (0, f"{heading(finding.severity)}: {finding.title}"),
            (1, sentence(finding.what)),
        ]
        if finding.remedy:
            lines.append((1, sentence(f"what to do: {finding.remedy}")))
        told.append(lines)
    return _titled("Findings", _spaced(told))


def _situations(analysis: Analysis) -> Lines:
    lines: list[tuple[int, str]] = []
    for result in analysis.situations:
        title = situation_heading(analysis, result.name)
        if isinstance(result, UnsolvedSituation):
            found = "" if result.restless else "no operating point was found; "
            lines.append((0, f"{title}: {found}{result.what}"))
        else:
            lines.append((0, f"{title}: {deliveries(analysis, result)}"))
    return _titled("Situations, as solved", lines)


def _cautions(analysis: Analysis) -> Lines:
    texts = caution_texts(analysis)
    lines = [(0, f"{title}: {text}") for title, text in texts] or [(0, NONE_NAMED)]
    return _titled("Cautions", [*lines, (0, DEFERENCE)])


def _not_checked(analysis: Analysis) -> Lines:
    return _titled(
        "What was not checked", [(0, f"- {check.left_out}") for check in analysis.checks if check.left_out]
    )


def _spaced(groups: Iterable[Lines]) -> Lines:
    """Groups with an empty line between them."""
    for number, group in enumerate(groups):
        if number:
            yield 0, ""
        yield from group

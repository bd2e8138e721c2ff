"""Stills made of words: the title, each claim's sum written large, and the verdicts."""

from __future__ import annotations

import re
from functools import partial

from lidoff.dossier import Analysis
from lidoff.evidence import CannotTell, ClaimResult
from lidoff.fonts import text_width
from lidoff.report.paint import line, lines_of, mark, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.stage import BODY, SMALL, Stage
from lidoff.report.words import counted, heading, joined, odds, sentence, typeset, verdict_tone, verdict_words

__all__ = ["MEMBERS"]

EACH_CARD = 8
"""Claims on one verdict card."""
BARS = 124.0
"""Height of the two bars under a sum [px]."""
K2 = "± is the expanded uncertainty, k = 2"


def _title(story: Story) -> tuple[Still, ...]:
    dossier = story.analysis.dossier
    title = dossier.publication.title or dossier.device.title
    return (
        Still(
            name="title",
            caption=title,
            alt=f"{title}. {dossier.device.summary}",
            paint=partial(_paint_title, dossier.device.summary, dossier.invented),
            bare=True,
        ),
    )


def _paint_title(summary: str, invented: str, stage: Stage, caption: str) -> str:
    paint, width = stage.paint, stage.width - 2 * stage.margin
    large = 104.0 if stage.shape == "wide" else 88.0
    title = lines_of(caption, width, large, most=4, strong=True)
    below = lines_of(summary, min(width, 1400.0), 44.0, most=5)
    note = lines_of(invented, min(width, 1400.0), SMALL, most=3) if invented else []
    tall = len(title) * large * 1.18 + 40 + len(below) * 62 + (50 + len(note) * 44 if note else 0)
    y = (stage.height - tall) / 2 + large
    parts = [
        f'<rect x="{stage.margin:g}" y="{y - large - 44:.1f}" width="96" height="8" rx="4" style="fill:{paint.accent}"/>'
    ]
    for said in title:
        parts.append(text(said, stage.margin, y, colour=paint.ink, size=large, strong=True))
        y += large * 1.18
    y += 10
    for said in below:
        parts.append(text(said, stage.margin, y, colour=paint.quiet, size=44.0))
        y += 62
    y += 36
    for said in note:
        parts.append(text(said, stage.margin, y, colour=paint.quiet, size=SMALL))
        y += 44
    return "".join(parts)


def _sums(story: Story) -> tuple[Still, ...]:
    return tuple(_sum(result) for result in story.analysis.claims if result.found is not None)


def _sum(result: ClaimResult) -> Still:
    words = verdict_words(result.verdict)
    return Still(
        name=f"sum-{result.claim.name}",
        caption=f"“{result.claim.says}”",
        alt=f"“{result.claim.says}”: {sentence(result.sum)} {sentence(words)}",
        paint=partial(_paint_sum, result),
        aside=K2,
    )


def _pieces(sum_text: str) -> list[str]:
    """Sum in pieces, one a line: what was read, then what is printed."""
    return [
        piece.strip()
        for piece in re.split(r"[,;] (?=the |as |claimed|with |[^,;=]+ says )", sum_text, maxsplit=2)
        if piece.strip()
    ]


def _sum_lines(first: str, width: float, size: float) -> list[str]:
    """The sum on one line, or broken before its result, or between words where that does not do."""
    first = first.replace(" ±", "\N{NO-BREAK SPACE}±")
    if len(lines_of(first, width, size, strong=True)) == 1:
        return [first]
    left, equals, result = first.rpartition(" = ")
    broken = [left, f"= {result}"] if equals else [first]
    return [line for piece in broken for line in lines_of(piece, width, size, most=3, strong=True)]


def _paint_sum(result: ClaimResult, stage: Stage, caption: str) -> str:
    room, paint = stage.room(caption), stage.paint
    tone = verdict_tone(result.verdict)
    first, *rest = _pieces(typeset(result.sum))
    told = [sentence(odds(result.verdict))]
    if isinstance(result.verdict, CannotTell) and result.verdict.needs:
        told.append(sentence(f"What would tell: {result.verdict.needs}"))
    small = [said for one in told for said in lines_of(typeset(one), room.width, BODY, most=2) if said]
    quiet = [said for piece in rest for said in lines_of(piece, room.width, 54.0, most=3)]
    foot = 100.0 + 58.0 * len(small)
    left_over = room.height - foot - 74.0 * len(quiet) - BARS - 60.0
    sizes = (108.0, 92.0, 80.0, 68.0, 58.0, 48.0)
    size = next(
        (
            size
            for size in sizes
            if size * (1.22 * len(lines := _sum_lines(first, room.width, size)) + 0.13) <= left_over
            and all(text_width(one, size, bold=True) <= room.width for one in lines)
            and not any(one.endswith("…") for one in lines)
        ),
        sizes[-1],
    )
    parts = []
    y = room.top + size * 1.05
    for said in _sum_lines(first, room.width, size):
        parts.append(text(said, room.left, y, colour=paint.ink, size=size, strong=True))
        y += size * 1.22
    y += 10
    for said in quiet:
        parts.append(text(said, room.left, y, colour=paint.quiet, size=54.0))
        y += 74
    below = y - 74 + 16 if quiet else y - 10 - 0.92 * size  # under the last line's letters
    bottom = room.bottom - foot
    parts.append(_bars(result, stage, below + max((bottom - BARS - below) / 2, 0.0)))
    y = room.bottom - foot + 84.0
    parts.append(mark(tone, room.left + 24, y - 20, paint=paint, radius=22))
    verdict = heading(verdict_words(result.verdict))
    parts.append(text(verdict, room.left + 72, y, colour=paint.of(tone), size=60.0, strong=True))
    for said in small:
        y += 58
        parts.append(text(said, room.left, y, colour=paint.quiet, size=BODY))
    return "".join(parts)


def _bars(result: ClaimResult, stage: Stage, top: float) -> str:
    """What is printed and what was found as two bars from zero, the found one with its uncertainty."""
    found, printed = result.found, result.claimed
    if found is None or printed is None or printed.value <= 0.0 or found.value < 0.0:
        return ""
    paint = stage.paint
    left = stage.margin
    names = 250.0
    reach = stage.width - 2 * stage.margin - names
    scale = reach / max(printed.value, found.value + found.expanded)
    rows = (
        ("found", found.value, paint.of(verdict_tone(result.verdict))),
        ("printed", printed.value, paint.quiet),
    )
    parts = []
    for number, (said, value, colour) in enumerate(rows):
        y = top + 74.0 * number
        parts.append(text(said, left, y + 36, colour=paint.ink, size=BODY))
        parts.append(
            f'<rect x="{left + names:.1f}" y="{y:.1f}" width="{max(value * scale, 3.0):.1f}" height="50" rx="3" '
            f'style="fill:{colour}"/>'
        )
    if found.expanded * scale > 4.0:
        low = left + names + max(found.value - found.expanded, 0.0) * scale
        high = left + names + (found.value + found.expanded) * scale
        for width, ink in ((9.0, paint.ground), (4.0, paint.ink)):
            parts.append(line(low, top + 25, high, top + 25, colour=ink, width=width))
            parts += [line(x, top + 12, x, top + 38, colour=ink, width=width) for x in (low, high)]
    return "".join(parts)


def _verdicts(story: Story) -> tuple[Still, ...]:
    claims = story.analysis.claims
    if not claims:
        return ()
    each = -(-len(claims) // -(-len(claims) // EACH_CARD))  # shared out evenly over as few cards as hold them
    groups = [claims[start : start + each] for start in range(0, len(claims), each)]
    stills = []
    for number, group in enumerate(groups, start=1):
        name = "verdicts" if len(groups) == 1 else f"verdicts-{number}"
        told = " ".join(f"“{one.claim.says}”: {sentence(verdict_words(one.verdict))}" for one in group)
        stills.append(
            Still(
                name=name,
                caption=_tally(story.analysis),
                alt=told,
                paint=partial(_paint_verdicts, tuple(group)),
            )
        )
    return tuple(stills)


def _tally(analysis: Analysis) -> str:
    """How many claims got which verdict, as a caption."""
    words = [verdict_words(result.verdict) for result in analysis.claims]
    told = []
    for verdict, said in (("borne out", "borne out"), ("not borne out", "not borne out")):
        if verdict in words:
            told.append(f"{counted(words.count(verdict), said, said)}")
    left = words.count("cannot tell from these readings")
    if left:
        told.append(f"{counted(left, 'cannot be told', 'cannot be told')} from these readings")
    noted = len(words) - left - words.count("borne out") - words.count("not borne out")
    if noted:
        told.append(counted(noted, "noted and not judged", "noted and not judged"))
    return heading(f"of {counted(len(words), 'claim')}: {joined(told)}")


def _paint_verdicts(group: tuple[ClaimResult, ...], stage: Stage, caption: str) -> str:
    room, paint = stage.room(caption), stage.paint
    step = min(room.height / len(group), 130.0 if stage.shape == "wide" else 200.0)
    parts = []
    for number, result in enumerate(group):
        top = room.top + step * number
        tone = verdict_tone(result.verdict)
        if number:
            parts.append(
                f'<rect x="{room.left:g}" y="{top:.1f}" width="{room.width:g}" height="1.6" style="fill:{paint.hairline}"/>'
            )
        wide = stage.shape == "wide"
        said = f"“{result.claim.says}”"
        verdict = verdict_words(result.verdict)
        if wide:
            middle = top + step / 2
            right = room.right - 560
            lines = lines_of(said, right - room.left - 110, 44.0, most=1, strong=True)
            parts.append(mark(tone, room.left + 22, middle, paint=paint, radius=18))
            parts += [
                text(one, room.left + 72, middle + 15, colour=paint.ink, size=44.0, strong=True)
                for one in lines
            ]
            shown = lines_of(verdict, 560, BODY, most=1)
            parts += [text(one, right, middle + 13, colour=paint.of(tone), size=BODY) for one in shown]
        else:
            lines = lines_of(said, room.width - 80, 44.0, most=2, strong=True)
            y = top + 62
            parts.append(mark(tone, room.left + 22, y - 14, paint=paint, radius=18))
            for one in lines:
                parts.append(text(one, room.left + 72, y, colour=paint.ink, size=44.0, strong=True))
                y += 54
            parts.append(text(verdict, room.left + 72, y, colour=paint.of(tone), size=BODY))
    return "".join(parts)


MEMBERS = (
    Scene(name="title", place=0, build=_title, says="The title, and what was taken apart.", needs="no title"),
    Scene(
        name="sum",
        place=70,
        build=_sums,
        says="The sum behind each verdict, written large.",
        needs="no claim with a found value",
    ),
    Scene(
        name="verdicts",
        place=100,
        build=_verdicts,
        says="Every claim with its verdict, on one card.",
        needs="no claims",
    ),
)

"""A walk through the stills: one page that needs nothing but itself, stepped with keys, buttons or a swipe."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.report.paint import PAGE
from lidoff.report.scene import Still, Story
from lidoff.report.stage import SHAPES, Stage
from lidoff.report.style import style_of, styled
from lidoff.report.web import packaged, page_environment, typeface
from lidoff.report.words import anchor, typeset

__all__ = ["walk_html"]


def walk_html(story: Story, stills: Sequence[Still]) -> str:
    """Page that shows one still at a time.

    Parameters
    ----------
    story : Story
    stills : sequence of Still
        From `stills_of`.

    Returns
    -------
    str
        HTML with its style, script, pictures and typeface inside; without script, all stills stand under one another.
    """
    from markupsafe import Markup

    from lidoff.report.filming import foot_of, still_svg

    width, height = SHAPES["wide"]
    stage = Stage(shape="wide", width=width, height=height, paint=PAGE, theme="light", clear=True)
    title = story.analysis.dossier.publication.title or story.analysis.dossier.device.title
    style = style_of(story.analysis.dossier.publication)
    shown = [
        {
            "name": anchor("still", still.name),
            "caption": typeset(styled(still.caption, style)),
            "alt": typeset(styled(still.alt, style)),
            "svg": Markup(
                still_svg(still, stage, foot=foot_of(story.analysis), style=style)
            ),  # drawn by lidoff, its texts escaped
        }
        for still in stills
    ]
    return (
        page_environment()
        .get_template("walk.html")
        .render(
            title=title,
            stills=shown,
            style=Markup(packaged("walk.css")),  # a file of this package
            faces=Markup(typeface()),  # made of the package's own fonts
            script=Markup(packaged("walk.js")),  # a file of this package
        )
    )

"""The guided check, the inspection card and the inspection log as HTML."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from site_src.care import VERDICTS, load_check
from site_src.render.figure import figure_html
from site_src.render.html import environment

if TYPE_CHECKING:
    from site_src.care import Topic

__all__ = ["POSITIONS", "guided_check_html", "inspection_card_html", "inspection_log_html"]

FIGURES = Path(__file__).parents[2] / "docs" / "figures"
POSITIONS = ("front left", "front right", "rear left", "rear right")


def _figure(topic: Topic) -> Markup:
    if not topic.figure:
        return Markup()
    return Markup(figure_html(FIGURES / f"{topic.figure}.svg", topic.caption))  # noqa: S704  our own template


def guided_check_html() -> str:
    """Return every question, answer and outcome, linked; the script shows them one at a time."""
    check = load_check()
    topics = [
        {
            "topic": topic,
            "questions": check.questions_of(topic),
            "outcomes": check.outcomes_of(topic),
            "figure": _figure(topic),
        }
        for topic in check.topics
    ]
    return (
        environment()
        .get_template("care_check.html")
        .render(check=check, topics=topics, verdicts=VERDICTS)
    )


def inspection_card_html() -> str:
    """Return the card for one or two axles, to be filled in by hand."""
    return (
        environment()
        .get_template("care_card.html")
        .render(check=load_check(), positions=POSITIONS, verdicts=VERDICTS)
    )


def inspection_log_html() -> str:
    """Return the log's form, its table and its buttons; it works with the script alone."""
    return environment().get_template("care_log.html").render(positions=POSITIONS)

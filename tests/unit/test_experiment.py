"""A calculator cut down to what a page explains is still the whole calculator."""

from __future__ import annotations

import re

import pytest

from site_src.render.experiment import experiment_html

SHOWN = experiment_html("lag", "damping phase loop")


def _seen(kind: str) -> list[str]:
    return re.findall(rf'<div class="(?![^"]*sb-unseen)[^"]*" data-{kind}="([\w-]+)"', SHOWN)


def test_only_the_inputs_and_results_named_are_in_sight() -> None:
    assert _seen("input") == ["damping"]
    assert _seen("output") == ["phase"]


def test_only_the_charts_named_are_there() -> None:
    assert re.findall(r'data-chart="([\w-]+)"', SHOWN) == ["loop"]


def test_all_inputs_and_results_stay_in_the_form() -> None:
    assert SHOWN.count("data-input=") > 10
    assert SHOWN.count("data-output=") > 10


def test_it_leads_to_the_whole_calculator() -> None:
    assert '<a href="@root/calculate/lag/">' in SHOWN


@pytest.mark.parametrize("words", ["", "damping nonsense"])
def test_an_experiment_without_a_known_name_stops_the_build(words: str) -> None:
    with pytest.raises(ValueError, match="the sheet has no"):
        experiment_html("lag", words)

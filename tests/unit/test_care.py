"""The guided check's data: every path ends well, and what does not hold together is refused."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown import Markdown

from site_src.care import (
    CHECK_FILE,
    FAULTS,
    VERDICTS,
    Answer,
    CareDataError,
    Outcome,
    Topic,
    all_paths,
    load_check,
    read_check,
)
from site_src.render.care import guided_check_html, inspection_card_html, inspection_log_html

CHECK = load_check()
TEXT = CHECK_FILE.read_text(encoding="utf-8")
by_topic = pytest.mark.parametrize("topic", CHECK.topics, ids=lambda topic: topic.name)

# What the guided check has to cover.
TOPICS = {
    "oil", "noise", "bounce", "lean", "heat", "gas", "bush",
    "sphere", "bolt", "guard", "tube", "rod", "tyre",
}  # fmt: skip
# Words of an answer that report a leak, a lost charge, play or a loose part, ...
TELLTALE = re.compile(
    r"\b(wet|leak|drips?|loose|knocks?|clicks?|gap|play|torn|stays? in)\b", re.IGNORECASE
)
# ... and answers that have such a word but report none of these.
HARMLESS = {
    ("guard-look", "torn"): "a torn guard lets grit in; its paths end in replace",
    ("gas-push", "gap"): "a gap may be gas in the oil; the next question tells",
    ("gas-return", "no-gas-type"): "a type without gas pressure has nothing to lose",
    ("sphere-move", "free"): "nothing clicks",
}


def walk(topic: Topic) -> list[tuple[tuple[Answer, ...], Outcome]]:
    return list(all_paths(CHECK, topic.start))


def test_every_topic_that_was_asked_for_is_there() -> None:
    assert {topic.name for topic in CHECK.topics} == TOPICS


@by_topic
def test_every_path_ends_in_one_of_the_five_words(topic: Topic) -> None:
    paths = walk(topic)
    assert paths
    assert {outcome.verdict for _, outcome in paths} <= set(VERDICTS)


@by_topic
def test_no_path_with_a_leak_lost_charge_play_or_loose_part_ends_in_normal(topic: Topic) -> None:
    for answers, outcome in walk(topic):
        if any(answer.fault for answer in answers):
            assert outcome.verdict != "normal", [answer.say for answer in answers]


def test_an_answer_that_tells_of_a_fault_is_marked() -> None:
    unmarked = {
        (question.name, answer.key)
        for question in CHECK.questions.values()
        for answer in question.answer
        if TELLTALE.search(answer.say) and not answer.fault
    }
    assert unmarked == set(HARMLESS)


def test_each_kind_of_fault_is_reported_somewhere() -> None:
    reported = {answer.fault for q in CHECK.questions.values() for answer in q.answer}
    assert set(FAULTS) <= reported


def test_an_oily_damper_is_judged_within_five_answers() -> None:
    oil = next(topic for topic in CHECK.topics if topic.name == "oil")
    assert max(len(answers) for answers, _ in walk(oil)) + 1 <= 5  # with the choice of topic


def test_every_topic_can_end_in_normal_and_in_something_else() -> None:
    for topic in CHECK.topics:
        verdicts = {outcome.verdict for _, outcome in walk(topic)}
        assert "normal" in verdicts, topic.name
        assert len(verdicts) > 1, topic.name


@pytest.mark.parametrize("outcome", CHECK.outcomes.values(), ids=lambda outcome: outcome.key)
def test_every_outcome_says_why_what_to_do_and_what_to_tell(outcome: Outcome) -> None:
    for text in (outcome.why, outcome.apart, outcome.next, outcome.tell):
        assert text.endswith(".")
    assert not outcome.name.endswith(".")


def test_replacing_or_working_on_fasteners_comes_with_its_cautions() -> None:
    for outcome in CHECK.outcomes.values():
        if "Replace both dampers" in outcome.next:
            assert {"gas", "law", "manual"} <= set(outcome.cautions), outcome.key
        if "Put the bolt back" in outcome.next or "tight to the manual" in outcome.next:
            assert "manual" in outcome.cautions, outcome.key


def test_the_gas_check_has_all_its_cautions_before_the_first_step() -> None:
    assert set(CHECK.questions["gas-fit"].cautions) == {"gas", "jack", "law", "hot"}
    assert {"gas", "jack"} <= set(CHECK.questions["gas-push"].cautions)


def test_a_verdict_names_its_distance_in_both_units() -> None:
    # 500 km / 1.609344 km per mile (exact by definition) = 310.7 miles, to the nearest ten
    assert CHECK.outcomes["oil-first-use"].word == (
        "Wipe and look again in 500\u00a0km (310\u00a0mi)"
    )


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('then = "outcome.oil-mist"', 'then = "outcome.nothing"', "nothing does not exist"),
        ('then = "outcome.oil-leak"', 'then = "outcome.oil-mist"', "leak and ends in normal"),
        ('then = "outcome.rod-bent"', 'then = "outcome.rod-good"', "No path reaches outcome.rod-b"),
        ('then = "outcome.oil-hose"', 'then = "question.oil-look"', "longer than"),
        ('verdict = "stop"', 'verdict = "maybe"', "unknown verdict 'maybe'"),
        ("again_km = 500", "", "again_km belongs"),
        ('fault = "leak"', 'fault = "smell"', "unknown fault 'smell'"),
        ('key = "mist"', 'key = "wet"', "each with its own key"),
        ('key = "mist"', 'key = "Mist 1"', "not lower-case words"),
        ('cautions = ["hot"]', 'cautions = ["cold"]', "unknown caution 'cold'"),
        ('start = "oil-look"', 'start = "oil-here"', "oil-here does not exist"),
        ("[outcome.oil-mist]", "[outcome.soil-mist]", "name of one topic"),
        ("version = 1", "version = 2", "wanted: strokebook-check 1"),
        ("version = 1", "version = 1\nmore = 2", "unexpected keyword argument 'more'"),
        ("version = 1", "version = ", "cannot be read"),
    ],
)
def test_data_that_do_not_hold_together_are_refused_with_the_reason(
    old: str, new: str, words: str
) -> None:
    assert old in TEXT
    with pytest.raises(CareDataError, match=re.escape(words)):
        read_check(TEXT.replace(old, new, 1))


def test_all_faults_are_told_at_once() -> None:
    text = TEXT.replace('fault = "leak"', 'fault = "x"').replace("again_km = 500", "")
    with pytest.raises(CareDataError) as caught:
        read_check(text)
    assert str(caught.value).count("\n") > 5


@given(st.data())
def test_a_random_walk_never_leaves_the_questions(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(CHECK.topics)).start
    for _ in range(20):
        answer = data.draw(st.sampled_from(CHECK.questions[name].answer))
        kind, _, name = answer.then.partition(".")
        if kind == "outcome":
            assert name in CHECK.outcomes
            return
    pytest.fail("a walk of twenty answers had no end")


class Links(HTMLParser):
    """The anchors of some HTML, and the links inside it."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.targets: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del tag
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            elif name == "href" and value and value.startswith("#"):
                self.targets.append(value[1:])


def test_without_a_script_every_answer_is_a_link_to_what_follows() -> None:
    links = Links(guided_check_html())
    answers = sum(len(question.answer) for question in CHECK.questions.values())
    assert len(links.targets) == answers + len(CHECK.topics)
    assert set(links.targets) <= set(links.ids)
    assert len(set(links.ids)) == len(links.ids)


def test_the_page_holds_every_text_of_the_data() -> None:
    html = guided_check_html().replace("&#39;", "'")
    for outcome in CHECK.outcomes.values():
        for text in (outcome.word, outcome.why, outcome.apart, outcome.next, outcome.tell):
            assert text in html
    for question in CHECK.questions.values():
        assert question.ask in html
        assert question.help in html


def test_the_card_has_a_line_for_each_topic_and_all_cautions() -> None:
    html = inspection_card_html().replace("&#39;", "'")
    for topic in CHECK.topics:
        assert topic.card in html
    assert html.count('class="sb-inspection__box"') == len(CHECK.topics) * 4 * 2
    for name in ("jack", "gas", "hot", "manual", "law"):
        assert CHECK.cautions[name] in html


def test_every_field_of_the_log_has_a_label() -> None:
    html = inspection_log_html()
    assert html.count("<label") + html.count('aria-label="Log file"') == len(
        re.findall(r"<(?:input|select|textarea)\b", html)
    )


@pytest.mark.parametrize(
    ("mark", "part"),
    [("guided-check", "check"), ("inspection-card", "card"), ("inspection-log", "log")],
)
def test_a_mark_of_the_care_pages_becomes_what_it_names(mark: str, part: str) -> None:
    made = Markdown(extensions=["site_src.extension"]).convert(f"Before.\n\n!{mark}()\n\nAfter.")
    assert f'data-care="{part}"' in made
    assert made.endswith("<p>After.</p>")

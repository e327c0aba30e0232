"""A calculator goes live, and from then on its results are the core's for what is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

from calculators.field import Choice, in_use
from tests.browser.reader import Reader, every_sheet, one_sheet

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext

# Types faster than anybody can: every text as soon as the one before it.
HURRY = """async (field, texts) => {
  for (const text of texts) {
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    await Promise.resolve();
  }
}"""
_ADDRESSES = "links => links.map(link => link.href)"


@every_sheet
def test_a_card_goes_live_with_the_results_that_were_printed(card: Reader) -> None:
    assert card.printed["outputs"] == card.expected_at_defaults()
    assert card.live == card.printed


@one_sheet
def test_a_live_card_says_so_and_marks_nothing(reader: Reader) -> None:
    expect(reader.part("state")).to_contain_text("Nothing leaves this device")
    expect(reader.part("stale")).to_be_hidden()
    expect(reader.part("fault")).to_be_hidden()
    expect(reader.error).to_have_count(0)


@every_sheet
def test_a_changed_input_changes_the_results_to_the_cores(reader: Reader) -> None:
    before = reader.seen["outputs"]
    reader.type(*reader.changed_number(1.05))
    reader.expect_agreement()
    assert reader.seen["outputs"] != before


def test_any_accepted_inputs_give_the_results_of_the_core(reader: Reader) -> None:
    for seed in (1, 2, 3):
        reader.fill(reader.accepted(seed))
        reader.expect_agreement()


def test_findings_and_tables_follow_the_inputs(reader: Reader) -> None:
    reader.fill(reader.accepted(4))
    expected = reader.expected()
    findings = [f"{item['level']} {item['text']}" for item in expected["findings"]]
    assert reader.card.locator(".sb-finding").all_text_contents() == findings
    for table in expected["tables"]:
        shown = reader.card.locator(f'[data-table="{table["name"]}"]')
        assert shown.locator("caption").inner_text() == table["title"]
        assert shown.locator("td").all_text_contents() == [
            cell for row in table["rows"] for cell in row
        ]
        units = [column["unit"] for column in table["columns"] if column["unit"]]
        assert shown.locator("th .sb-unit").all_text_contents() == units


def test_the_working_opens_and_its_numbers_follow(reader: Reader) -> None:
    reader.fill(reader.accepted(5))
    working = reader.part("working")
    working.locator("summary").click()
    steps = reader.expected()["steps"]
    expect(reader.slots("label")).to_have_text([step["label"] for step in steps])
    if not reader.sheet.on_request:  # what a long calculation leaves of a nought differs
        expect(reader.slots("numbers")).to_have_text([_letters(step["numbers"]) for step in steps])
    links = [link.split("#")[1] for link in reader.slots("function").evaluate_all(_ADDRESSES)]
    assert links == [step["function"] for step in steps]
    working.locator("summary").click()


def test_a_choice_shows_the_inputs_that_it_asks_for_and_hides_the_others(reader: Reader) -> None:
    for choice in [item for item in reader.sheet.inputs if isinstance(item, Choice)]:
        for key in reversed(choice.keys):
            if not reader.field(choice.name).is_visible():
                continue
            reader.choose(choice.name, key)
            assert reader.asked() == asked_for(reader)
            reader.expect_agreement()


def test_reset_brings_back_the_printed_values_units_and_results(reader: Reader) -> None:
    before = reader.seen
    reader.fill(reader.accepted(6))
    reader.choose_system("imperial")
    reader.button("link").click()
    with reader.repainted():
        reader.button("reset").click()
    reader.expect_seen(before)
    assert "#" not in reader.page.url


def test_each_chart_is_drawn_in_the_page_after_a_change(reader: Reader) -> None:
    with reader.redrawn():
        reader.type(*reader.changed_number(1.02))
    for chart in reader.sheet.charts:
        figure = reader.card.locator(f'[data-chart="{chart.name}"]')
        expect(figure.locator("[data-part=live] svg")).to_be_visible()
        expect(figure.locator("[data-part=still]")).to_be_hidden()


def test_charts_are_drawn_in_the_page_before_the_first_change(
    emptied: BrowserContext, address: str
) -> None:
    path = f"{address}calculate/critical-damping/"
    newcomer = Reader(emptied.new_page(), "critical-damping", path)
    newcomer.open()
    newcomer.wait_until_live()
    before = newcomer.seen
    newcomer.field("damping_ratio").focus()
    drawn = newcomer.card.locator("[data-chart] [data-part=live] svg")
    expect(drawn).to_have_count(len(newcomer.sheet.charts))
    newcomer.expect_seen(before)


def test_a_chart_names_the_unit_that_its_axis_follows(reader: Reader) -> None:
    for chart in reader.sheet.charts:
        drawn = reader.card.locator(f'[data-chart="{chart.name}"] [data-part=live] svg')
        for axis in [axis for axis in (chart.x, chart.y) if axis.like]:
            for symbol in reader.offered(axis.like)[:2]:
                reader.unit(axis.like).select_option(symbol)
                title = axis.label if symbol == "1" else f"{axis.label} ({symbol})"
                expect(drawn).to_contain_text(title)


@one_sheet
def test_after_a_thousand_edits_in_a_row_the_last_one_counts(reader: Reader) -> None:
    item = next(item for item in reader.numbers_in_use() if item.default)
    assert item.default is not None
    texts = [reader.text(item.name, item.default * (1 + n / 5000), item.unit) for n in range(1000)]
    with reader.repainted():
        reader.field(item.name).evaluate(HURRY, texts)
    reader.expect_agreement()
    assert reader.field(item.name).input_value() == texts[-1]


def asked_for(reader: Reader) -> list[str]:
    """Return the inputs that the sheet asks for with the choices that stand in the form."""
    texts, choices, asked = reader.seen["texts"], dict[str, str](), []
    for item in reader.sheet.inputs:
        if in_use(item, choices):
            asked.append(item.name)
            if isinstance(item, Choice):
                choices[item.name] = texts[item.name]
    return asked


def _letters(node: object) -> str:
    """Return the text of a formula's tree."""
    if isinstance(node, str):
        return node
    return "".join(map(_letters, node[1:])) if isinstance(node, list) else ""

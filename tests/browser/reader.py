"""A reader in front of one calculator: what one can do there, and what one then sees."""

from __future__ import annotations

import re
from contextlib import contextmanager
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from calculators.errors import CalculatorError
from calculators.field import Choice, Input, Rows
from calculators.quantities import from_si, plain_number
from calculators.rows import write_rows
from calculators.sheet import evaluate
from calculators.sheets import load, names
from calculators.view import Units, present, read
from tests.sheet_inputs import random_values

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from playwright.sync_api import Locator, Page

    from calculators.field import Value
    from calculators.sheet import Output

__all__ = ["LIVE", "NOTHING", "THOROUGH", "Reader", "every_sheet", "one_sheet"]

LIVE = 30_000  # ms that Python may take to start on a busy machine
READY = re.compile("^(live|ready)$")
NOTHING = "—"  # the text of a result that does not arise; the card hides it
PAUSE = 50  # ms between two looks
PAINT = 30_000  # ms that new results may take there

# One of each kind stands for the cards that are made alike: inputs that depend on choices,
# optional ones, tables, drawings. Cards that calculate on request take too long for all of it.
THOROUGH = (
    "critical-damping",
    "gas-charge",
    "shim-stack",
)
# For what each card must show by itself.
every_sheet = pytest.mark.parametrize("sheet", names(), indirect=True, scope="session")
# For what all cards do alike, and what takes long.
one_sheet = pytest.mark.parametrize("sheet", names()[:1], indirect=True, scope="session")

# The text that a field stands for: the exact one, where long numbers are shown with six digits.
EXACT = """field => field.value === field.dataset.shown ? field.dataset.exact : field.value"""

# What stands in the form: texts, units of inputs and results, and what the results say.
FORM = """card => {
  const exact = EXACT;
  const part = (box, name) => box.querySelector(`[data-part="${name}"]`);
  const units = {}, texts = {}, outputs = {};
  for (const box of card.querySelectorAll("[data-input]")) {
    texts[box.dataset.input] = exact(part(box, "value") ?? part(box, "choice"));
    if (part(box, "unit")) units[box.dataset.input] = part(box, "unit").value;
  }
  for (const box of card.querySelectorAll("[data-output]")) {
    units[box.dataset.output] = part(box, "unit").value;
    outputs[box.dataset.output] = part(box, "text").textContent;
  }
  const imperial = card.querySelector(".sb-systems [value=imperial]").checked;
  return { texts, units, imperial, outputs };
}""".replace("EXACT", EXACT)

# Every field first, then one event, as if all had been typed at once.
FILL = """(card, texts) => {
  for (const [name, text] of Object.entries(texts)) {
    const box = card.querySelector(`[data-input="${name}"]`);
    box.querySelector("[data-part=value], [data-part=choice]").value = text;
  }
  card.querySelector("[data-part=value]").dispatchEvent(new Event("input", { bubbles: true }));
}"""


class Reader:
    """The card of one sheet in one page.

    Parameters
    ----------
    page : Page
        Where the calculator is or will be open.
    sheet : str
        Its name.
    address : str
        Address of its page.
    """

    def __init__(self, page: Page, sheet: str, address: str) -> None:
        self.page = page
        self.sheet = load(sheet)
        self.address = address
        self.card = page.locator(f'[data-sheet="{sheet}"]')
        self.printed: dict[str, Any] = {}
        """What stood in the page when it came; set by whoever opens it."""
        self.live: dict[str, Any] = {}
        """What stood there when it first went live."""

    def open(self, fragment: str = "") -> None:
        """Open the page, without waiting for Python."""
        self.page.goto(self.address + fragment, wait_until="domcontentloaded")

    def wait_until_live(self) -> None:
        """Wait until results follow what is typed, or until they can be asked for."""
        expect(self.part("state")).to_have_attribute("data-state", READY, timeout=LIVE)

    def part(self, name: str, within: Locator | None = None) -> Locator:
        """Return a part of the card, or of something in it."""
        return (within or self.card).locator(f'[data-part="{name}"]').first

    def box(self, name: str) -> Locator:
        """Return all that belongs to an input."""
        return self.card.locator(f'[data-input="{name}"]')

    def field(self, name: str) -> Locator:
        """Return what an input is typed or chosen in."""
        kind = "choice" if isinstance(self.sheet.input(name), Choice) else "value"
        return self.part(kind, self.box(name))

    def held(self, name: str) -> str:
        """Return the exact text that a field stands for."""
        text: str = self.field(name).evaluate(EXACT)
        return text

    def unit(self, name: str) -> Locator:
        """Return the unit choice of an input or a result."""
        return self.card.locator(
            f':is([data-input="{name}"], [data-output="{name}"]) [data-part="unit"]'
        )

    def button(self, action: str) -> Locator:
        """Return a button of the card."""
        return self.card.locator(f'[data-action="{action}"]')

    def slots(self, name: str) -> Locator:
        """Return one piece of each step of the working."""
        return self.card.locator(f'.sb-step [data-slot="{name}"]')

    @property
    def error(self) -> Locator:
        """All messages that stand beside inputs just now."""
        return self.card.locator('[data-part="error"]:visible')

    @contextmanager
    def repainted(self, mark: str = "painted", *, ask: bool = True) -> Iterator[None]:
        """Wait at the end of the block until new results stand in the page.

        Where the calculator waits to be asked, it is, unless it starts by itself.
        """
        before = self.card.get_attribute(f"data-{mark}")
        yield
        if ask:
            self.ask()
        self.page.wait_for_function(
            "([card, mark, before]) => card.dataset[mark] && card.dataset[mark] !== before",
            arg=[self.card.element_handle(), mark, before],
            timeout=PAINT,
        )

    def ask(self) -> None:
        """Press the button of a calculator that waits to be asked."""
        if self.sheet.on_request:
            self.button("calculate").click()

    @contextmanager
    def redrawn(self) -> Iterator[None]:
        """Wait at the end of the block until the charts are drawn anew."""
        with self.repainted("drawn"):
            yield

    def type(self, name: str, text: str) -> None:
        """Type into an input and wait for the new results."""
        with self.repainted():
            self.field(name).fill(text)

    def type_wrong(self, name: str, text: str) -> None:
        """Type what cannot be used, and wait until the card says so."""
        self.field(name).fill(text)
        self.ask()
        expect(self.part("error", self.box(name))).to_be_visible()

    def choose(self, name: str, key: str) -> None:
        """Choose an answer and wait for the new results."""
        if self.field(name).input_value() != key:
            with self.repainted():
                self.field(name).select_option(key)

    def choose_unit(self, name: str, symbol: str) -> None:
        """Choose a unit and wait for the new results."""
        with self.repainted(ask=False):
            self.unit(name).select_option(symbol)

    def choose_system(self, name: str) -> None:
        """Choose SI or imperial units and wait for the new results."""
        with self.repainted(ask=False):
            self.card.locator(f'.sb-systems [value="{name}"]').check()

    def fill(self, values: Mapping[str, Value], *, accepted: bool = True) -> None:
        """Put SI values into the form, in the units that stand there, in one go.

        Waits for the new results, unless the values are such that none can be `accepted`.
        """
        units = self.seen["units"]
        texts = {
            name: self.text(name, value, units.get(name, "")) for name, value in values.items()
        }
        if not accepted:
            self.card.evaluate(FILL, texts)
            self.ask()
            return
        with self.repainted():
            self.card.evaluate(FILL, texts)

    def text(self, name: str, value: Value, unit: str) -> str:
        """Return an SI value as somebody types it in a unit; a table in its first units."""
        item = self.sheet.input(name)
        if isinstance(item, Rows) and isinstance(value, tuple):
            return write_rows(item, value, [column.unit for column in item.columns])
        if isinstance(item, Input) and isinstance(value, float):
            return plain_number(from_si(value, unit=unit, quantity=item.quantity))
        return "" if value is None else str(value)

    @property
    def seen(self) -> dict[str, Any]:
        """The form and the results as they stand: texts, units, imperial, outputs."""
        seen: dict[str, Any] = self.card.evaluate(FORM)
        return seen

    def asked(self) -> list[str]:
        """Return the names of the inputs that can be seen."""
        names: list[str] = self.card.evaluate(
            """card => [...card.querySelectorAll("[data-input]")]
              .filter(box => box.checkVisibility()).map(box => box.dataset.input)"""
        )
        return names

    def values(self) -> Mapping[str, Value]:
        """Return the SI values that stand in the form."""
        seen = self.seen
        units = Units(seen["units"], imperial=seen["imperial"])
        return read(self.sheet, seen["texts"], units).values

    def expected(self) -> dict[str, Any]:
        """Return what CPython answers to what stands in the form."""
        seen = self.seen
        reading = read(self.sheet, seen["texts"], Units(seen["units"], imperial=seen["imperial"]))
        return present(evaluate(self.sheet, reading.values), reading.units)

    def expected_at_defaults(self) -> dict[str, str]:
        """Return the texts of the results that the page is printed with."""
        shown = present(evaluate(self.sheet), Units())["outputs"]
        return {name: output["text"] for name, output in shown.items()}

    def expect_agreement(self) -> None:
        """Wait until each result's text and unit is CPython's for the same form."""

        def difference() -> object:
            expected, seen = self.expected()["outputs"], self.seen
            shown = {name: (seen["outputs"][name], seen["units"][name]) for name in expected}
            wanted = {name: (output["text"], output["unit"]) for name, output in expected.items()}
            return None if shown == wanted else {"shown": shown, "wanted": wanted}

        self._expect_none(difference)

    def expect_seen(self, wanted: dict[str, Any]) -> None:
        """Wait until form and results stand as they did when they were `seen`."""

        def difference() -> object:
            seen = self.seen
            return None if seen == wanted else {"shown": seen, "wanted": wanted}

        self._expect_none(difference)

    def _expect_none(self, difference: Callable[[], object]) -> None:
        """Ask again and again, for as long as new results may take."""
        for _ in range(PAINT // PAUSE):
            if difference() is None:
                return
            self.page.wait_for_timeout(PAUSE)
        assert difference() is None

    def numbers_in_use(self) -> list[Input]:
        """Return the inputs of numbers that the form asks for with its first choices."""
        given = evaluate(self.sheet).given.numbers
        return [
            item for item in self.sheet.inputs if isinstance(item, Input) and item.name in given
        ]

    def told(self, words: str) -> Locator:
        """Return the messages that can be seen and hold these words."""
        shown = self.card.locator('[data-part="error"]:visible, [data-part="fault"]:visible')
        return shown.filter(has_text=words)

    def shown_outputs(self) -> list[Output]:
        """Return the results that arise for what stands in the form."""
        outputs = self.seen["outputs"]
        return [output for output in self.sheet.outputs if outputs[output.name] != NOTHING]

    def convertible(self) -> list[Input]:
        """Return one input in use of each quantity that has more than one unit."""
        found: dict[str, Input] = {}
        for item in self.numbers_in_use():
            if item.default and len(self.offered(item.name)) > 1:
                found.setdefault(item.quantity, item)
        return list(found.values())

    def offered(self, name: str) -> list[str]:
        """Return the units that an input or a result can be shown in."""
        units: list[str] = (
            self.unit(name).locator("option").evaluate_all("all => all.map(one => one.value)")
        )
        return units

    def other_unit(self, name: str) -> str:
        """Return a unit that the choice offers and that does not stand there."""
        chosen = self.unit(name).input_value()
        return next(symbol for symbol in self.offered(name) if symbol != chosen)

    def changed_number(self, factor: float = 1.1) -> tuple[str, str]:
        """Return the name of an input, and a text for its default times a factor."""
        item = next(item for item in self.numbers_in_use() if item.default)
        assert item.default is not None
        return item.name, self.text(item.name, item.default * factor, item.unit)

    def accepted(self, seed: int) -> dict[str, Value]:
        """Return random values that the sheet accepts."""
        rng = Random(seed)  # noqa: S311  test inputs, no secret
        for _ in range(200):
            values = random_values(self.sheet, rng)
            try:
                evaluate(self.sheet, values)
            except CalculatorError:
                continue
            return values
        message = f"{self.sheet.name} refuses 200 sets of random inputs"
        raise AssertionError(message)

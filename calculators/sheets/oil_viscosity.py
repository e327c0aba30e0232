"""Oil viscosity: how thick a damper oil is at any temperature, from two known points."""

from __future__ import annotations

from math import exp, log10
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import oil, oil_density, viscosity_index
from calculators.sheet import Choice, Input, Level, Measure, Option, Output, Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_KNOWN, _DENSITY, _WHERE = "What is known of the oil", "Density", "Where it is wanted"
_POINTS, _INDEX = (("known", ("points",)),), (("known", ("index",)),)
_MM2 = 1e-6  # m²/s in one mm²/s
_T_40, _T_100 = 313.15, 373.15  # K
_GRADES = (15, 5, 7, 10, 22, 32, 46, 68, 100)  # the first is the default
_THICK, _THIN = 500e-6, 3e-6  # m²/s, our figures, said in the text
_FAR = 40.0  # K beyond the points, our figure, said in the text
_POLYMER_INDEX = 140.0  # our figure, said in the text
_SLOPES = (0.5, 12.0)  # of liquids that an oil may be; mineral oils 3 to 4
_HEAVY_1, _HEAVY_2 = 1.0, 2.0  # m²/s, two oils so thick that their index is on the straight part


def _temperature(name: str, label: str, symbol: str, default: float, group: str, help_: str,
                 when: tuple[tuple[str, tuple[str, ...]], ...] = ()) -> Input:  # fmt: skip
    return Input(
        name=name, label=label, symbol=symbol, quantity="temperature", unit="°C", default=default,
        minimum=223.15, maximum=423.15, group=group, help=help_, when=when,
        reason="The tables of API MPMS 11.1 for the density end at −50 °C and 150 °C.",
    )  # fmt: skip


def _viscosity(name: str, label: str, symbol: str, default: float, group: str, help_: str,
               when: tuple[tuple[str, tuple[str, ...]], ...] = ()) -> Input:  # fmt: skip
    return Input(
        name=name, label=label, symbol=symbol, quantity="kinematic_viscosity", unit="mm²/s",
        default=default, minimum=0.5e-6, maximum=0.1, group=group, help=help_, when=when,
        reason="Damper oils have about 5 to 30 mm²/s at 40 °C.",
    )  # fmt: skip


_INPUTS = (
    Choice(
        name="known", label="The data sheet states",
        options=(Option("points", "two viscosities"), Option("index", "class and viscosity index")),
        help="Two viscosities, usually at 40 °C and 100 °C, are the surer way.", group=_KNOWN,
    ),
    _temperature("temperature_1", "First temperature", "T_1", _T_40, _KNOWN,
                 "Usually 40 °C.", _POINTS),
    _viscosity("viscosity_1", "Viscosity there", "nu_1", 15e-6, _KNOWN,
               "Kinematic viscosity; 1 cSt is 1 mm²/s.", _POINTS),
    _temperature("temperature_2", "Second temperature", "T_2", _T_100, _KNOWN,
                 "Usually 100 °C.", _POINTS),
    _viscosity("viscosity_2", "Viscosity there", "nu_2", 3.8e-6, _KNOWN,
               "Kinematic viscosity; 1 cSt is 1 mm²/s.", _POINTS),
    Choice(
        name="grade", label="Class", group=_KNOWN, when=_INDEX,
        options=tuple(Option(str(grade), f"ISO VG {grade}") for grade in _GRADES),
        help="ISO 3448: the number is the middle of the class in mm²/s at 40 °C, ±10 %.",
    ),
    Input(
        name="stated_index", label="Viscosity index", symbol="VI_s", quantity="ratio", unit="1",
        default=150.0, minimum=0.0, maximum=400.0, group=_KNOWN, when=_INDEX,
        reason="Plain mineral oils 90 to 110, damper oils 100 to 400.",
        help="From the data sheet, by ASTM D2270 or ISO 2909.",
    ),
    Input(
        name="density_15", label="Density at 15 °C", symbol="rho_15", quantity="density",
        unit="kg/m³", default=870.0, minimum=801.0, maximum=1_000.0, group=_DENSITY,
        reason="Damper oils have 820 to 900 kg/m³.", help="From the data sheet.",
    ),
    Input(
        name="expansion", label="Thermal expansion", symbol="alpha", quantity="thermal_expansion",
        unit="1/K", default=None, minimum=0.0, maximum=0.002, optional=True, group=_DENSITY,
        reason="Mineral oil about 0.0007 1/K.",
        help="Growth in volume for each kelvin at 15 °C; empty takes that of mineral oils of this "
             "density.",
    ),
    _temperature("temperature", "Temperature", "T", 333.15, _WHERE,
                 "Of the oil in the damper, not of the air."),
    _temperature("coldest", "Coldest", "T_c", 253.15, _WHERE, "On a winter morning."),
    _temperature("hottest", "Hottest", "T_h", 373.15, _WHERE, "After an hour of rough road."),
    _viscosity("wanted", "A viscosity to look for", "nu_w", 100e-6, _WHERE,
               "The temperature at which the oil has this viscosity is found."),
)  # fmt: skip

_OUTPUTS = (
    Output(name="viscosity", label="Kinematic viscosity", symbol="nu",
           quantity="kinematic_viscosity", unit="mm²/s", headline=True,
           meaning="At the temperature entered; what data sheets state."),
    Output(name="dynamic_viscosity", label="Dynamic viscosity", symbol="mu",
           quantity="dynamic_viscosity", unit="mPa·s", headline=True,
           meaning="What the laminar part of the damping force goes with."),
    Output(name="density", label="Density", symbol="rho", quantity="density", unit="kg/m³",
           headline=True, meaning="What the turbulent part of the damping force goes with."),
    Output(name="viscosity_cold", label="Coldest", symbol="nu_c", quantity="kinematic_viscosity",
           unit="mm²/s", meaning="Kinematic viscosity on the winter morning."),
    Output(name="viscosity_hot", label="Hottest", symbol="nu_h", quantity="kinematic_viscosity",
           unit="mm²/s", meaning="Kinematic viscosity after the rough road."),
    Output(name="span", label="Coldest over hottest", symbol="R", quantity="ratio", unit="1",
           meaning="How many times thicker; less is better."),
    Output(name="wanted_temperature", label="Temperature for the viscosity looked for",
           symbol="T_w", quantity="temperature", unit="°C", meaning="Colder, it is thicker."),
    Output(name="viscosity_40", label="At 40 °C", symbol="nu_40", quantity="kinematic_viscosity",
           unit="mm²/s", meaning="By this the oil has its ISO class."),
    Output(name="viscosity_100", label="At 100 °C", symbol="nu_100",
           quantity="kinematic_viscosity", unit="mm²/s", meaning="The other point of data sheets."),
    Output(name="index", label="Viscosity index", symbol="VI", quantity="ratio", unit="1",
           meaning="Higher: thins less with heat. Not defined below 2 mm²/s at 100 °C."),
    Output(name="growth", label="Volume against 15 °C", symbol="g", quantity="ratio", unit="1",
           meaning="Of the same mass of oil at the temperature entered."),
)  # fmt: skip


def _two_points(given: Given) -> dict[str, float]:
    """Return the two points as the viscosity functions take them."""
    if given.choice("known") == "points":
        return {name: given[name] for name in
                ("temperature_1", "viscosity_1", "temperature_2", "viscosity_2")}  # fmt: skip
    middle = oil.viscosity_grade(grade=int(given.choice("grade"))).midpoint
    hot = viscosity_index.viscosity_at_100(
        viscosity_40=middle, viscosity_index=given["stated_index"]
    )
    return {"temperature_1": _T_40, "viscosity_1": middle,
            "temperature_2": _T_100, "viscosity_2": hot}  # fmt: skip


def _small_term(viscosity: float) -> float:
    """Return the term of ASTM D341 that counts for thin oils alone."""
    thick = viscosity / _MM2
    return exp(-1.47 - 1.84 * thick - 0.51 * thick**2)


def _show_line(given: Given, work: Working, points: Mapping[str, float]) -> oil.ViscosityLine:
    line = oil.viscosity_line(**points)
    if not _SLOPES[0] <= line.slope <= _SLOPES[1]:
        message = (
            f"The two points give a slope of {line.slope:.3g} on the chart of ASTM D341; liquids "
            "have 1 to 5. Check both points."
        )
        raise ConflictError(message, inputs=("viscosity_1", "viscosity_2"))
    if given.choice("known") == "index":
        work.let("T_1", _T_40, quantity="temperature", unit="°C")
        work.let("nu_1", points["viscosity_1"], quantity="kinematic_viscosity", unit="mm²/s")
        work.let("T_2", _T_100, quantity="temperature", unit="°C")
        work.let("nu_2", points["viscosity_2"], quantity="kinematic_viscosity", unit="mm²/s")
    for mark in ("1", "2"):
        thick = points[f"viscosity_{mark}"]
        work.step(
            f"Point {mark} on the chart; the last term counts for thin oils alone",
            f"Z_{mark} = 1000000*nu_{mark} + 0.7 + "
            f"exp(-1.47 - 1840000*nu_{mark} - 0.51*(1000000*nu_{mark})**2)",
            thick / _MM2 + 0.7 + _small_term(thick), quantity="ratio", source=oil.viscosity_line,
        )  # fmt: skip
    work.step(
        "Slope of the line", "B = (log10(log10(Z_1)) - log10(log10(Z_2)))/log10(T_2/T_1)",
        line.slope, quantity="ratio", source=oil.viscosity_line,
    )  # fmt: skip
    work.step("Its height", "A = log10(log10(Z_1)) + B*log10(T_1)", line.intercept,
              quantity="ratio", source=oil.viscosity_line)  # fmt: skip
    return line


def _show_viscosity(
    work: Working, words: str, mark: str, points: Mapping[str, float], temperature: float
) -> float:
    """Record the viscosity at a temperature whose symbol is T with the same mark."""
    viscosity = oil.kinematic_viscosity(temperature=temperature, **points)
    small = work.let(f"s{mark}", _small_term(viscosity), quantity="ratio")
    work.step(
        f"On the line, {words}", f"Z{mark} = 10**10**(A - B*log10(T{mark}))",
        viscosity / _MM2 + 0.7 + small, quantity="ratio", source=oil.kinematic_viscosity,
    )  # fmt: skip
    return work.step(
        f"Kinematic viscosity {words}, s being the small term for thin oils",
        f"nu{mark} = (Z{mark} - 0.7 - s{mark})/1000000", viscosity,
        quantity="kinematic_viscosity", unit="mm²/s", source=oil.kinematic_viscosity,
    )  # fmt: skip


def _show_index(work: Working, at_40: float, at_100: float) -> float | None:
    if at_100 < viscosity_index.LEAST_INDEXED * _MM2:
        return None
    index = viscosity_index.viscosity_index(viscosity_40=at_40, viscosity_100=at_100)
    # The index of very thick oils falls in a straight line; it gives both reference oils back.
    first, second = (
        viscosity_index.viscosity_index(viscosity_40=thick, viscosity_100=at_100)
        for thick in (_HEAVY_1, _HEAVY_2)
    )
    fall = (first - second) / (_HEAVY_2 - _HEAVY_1)
    worse, better = _HEAVY_1 + first / fall, _HEAVY_1 + (first - 100.0) / fall
    work.let("H", better, quantity="kinematic_viscosity", unit="mm²/s")
    if at_40 >= better:
        work.let("L", worse, quantity="kinematic_viscosity", unit="mm²/s")
        formula = "VI = 100*(L - nu_40)/(L - H)"
    else:
        work.step("Exponent", "N = log10(H/nu_40)/log10(1000000*nu_100)",
                  log10(better / at_40) / log10(at_100 / _MM2),
                  quantity="ratio", source=viscosity_index.viscosity_index)  # fmt: skip
        formula = "VI = 100 + (10**N - 1)/0.00715"
    return work.step(
        "Viscosity index, with the reference oils L (index 0) and H (index 100) of the table",
        formula, index, quantity="ratio", source=viscosity_index.viscosity_index,
    )  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    if given["coldest"] >= given["hottest"]:
        message = "The coldest temperature must be below the hottest one."
        raise ConflictError(message, inputs=("coldest", "hottest"))
    points = _two_points(given)
    line = _show_line(given, work, points)
    viscosity = _show_viscosity(work, "at the temperature", "", points, given["temperature"])
    expansion = given.optional("expansion")
    if expansion is None:
        expansion = work.step(
            "Thermal expansion of mineral oils of this density", "alpha = 0.6278/rho_15",
            oil_density.lubricant_expansion(density_15=given["density_15"]),
            quantity="thermal_expansion", source=oil_density.lubricant_expansion,
        )  # fmt: skip
    dense = work.step(
        "Density", "rho = rho_15*exp(-alpha*(T - 288.15)*(1 + 0.8*alpha*(T - 288.15)))",
        oil_density.density(temperature=given["temperature"], density_15=given["density_15"],
                    thermal_expansion=expansion),
        quantity="density", source=oil_density.density,
    )  # fmt: skip
    growth = work.step("Volume against 15 °C", "g = rho_15/rho", given["density_15"] / dense,
                       quantity="ratio", source=oil_density.density)  # fmt: skip
    dynamic = work.step(
        "Dynamic viscosity", "mu = nu*rho",
        oil.dynamic_viscosity(kinematic_viscosity=viscosity, density=dense),
        quantity="dynamic_viscosity", unit="mPa·s", source=oil.dynamic_viscosity,
    )  # fmt: skip
    cold = _show_viscosity(work, "coldest", "_c", points, given["coldest"])
    hot = _show_viscosity(work, "hottest", "_h", points, given["hottest"])
    span = work.step("Coldest over hottest", "R = nu_c/nu_h", cold / hot, quantity="ratio",
                     source=oil.kinematic_viscosity)  # fmt: skip
    work.let("T_40", _T_40, quantity="temperature", unit="°C")
    work.let("T_100", _T_100, quantity="temperature", unit="°C")
    at_40 = _show_viscosity(work, "at 40 °C", "_40", points, _T_40)
    at_100 = _show_viscosity(work, "at 100 °C", "_100", points, _T_100)
    index = _show_index(work, at_40, at_100)
    wanted = given["wanted"]
    work.step(
        "The viscosity looked for, on the chart",
        "Z_w = 1000000*nu_w + 0.7 + exp(-1.47 - 1840000*nu_w - 0.51*(1000000*nu_w)**2)",
        wanted / _MM2 + 0.7 + _small_term(wanted), quantity="ratio", source=oil.viscosity_line,
    )  # fmt: skip
    found = work.step(
        "Temperature for it", "T_w = 10**((A - log10(log10(Z_w)))/B)",
        oil.temperature_at_viscosity(viscosity=wanted, **points),
        quantity="temperature", unit="°C", source=oil.kinematic_viscosity,
    )  # fmt: skip
    outputs = {
        "viscosity": viscosity, "dynamic_viscosity": dynamic, "density": dense,
        "viscosity_cold": cold, "viscosity_hot": hot, "span": span, "wanted_temperature": found,
        "viscosity_40": at_40, "viscosity_100": at_100, "index": index, "growth": growth,
    }  # fmt: skip
    _judge_use(work, cold, hot)
    _judge_range(given, work, points, line)
    _judge_class(given, work, at_40, index)
    return outputs


def _judge_use(work: Working, cold: float, hot: float) -> None:
    words = {"thick": Measure(_THICK, "kinematic_viscosity", "mm²/s"),
             "thin": Measure(_THIN, "kinematic_viscosity", "mm²/s")}  # fmt: skip
    if cold > _THICK:
        work.finding(
            Level.LOOK_CLOSER,
            "At {coldest} the oil has {viscosity_cold}, more than {thick} (our figure): the damper "
            "is stiff until it has warmed up, and the oil follows the piston late. Look at "
            "the cavitation margin cold.",
            **words,
        )
    if hot < _THIN:
        work.finding(
            Level.LOOK_CLOSER,
            "At {hottest} the oil has {viscosity_hot}, less than {thin} (our figure): it slips "
            "through every gap, and the bleed loses its force.",
            **words,
        )
    if _THIN <= hot <= cold <= _THICK:
        work.finding(
            Level.FINE,
            "From {coldest} to {hottest} the oil thins from {viscosity_cold} to {viscosity_hot}, "
            "{span} times.",
        )


def _judge_range(
    given: Given, work: Working, points: Mapping[str, float], line: oil.ViscosityLine
) -> None:
    low, high = sorted((points["temperature_1"], points["temperature_2"]))
    if given["coldest"] < low - _FAR or given["hottest"] > high + _FAR:
        work.finding(
            Level.LOOK_CLOSER,
            "The line of ASTM D341 is known between {low} and {high}; here it is drawn more than "
            "{far} further (our figure). Near its pour point an oil is thicker than the line says: "
            "ask for a viscosity measured cold.",
            low=Measure(low, "temperature", "°C"), high=Measure(high, "temperature", "°C"),
            far=Measure(_FAR, "temperature_difference", "K"),
        )  # fmt: skip
    if not 2.0 <= line.slope <= 5.0:  # noqa: PLR2004  mineral oils have 3 to 4
        work.finding(
            Level.LOOK_CLOSER,
            "The slope on the chart of ASTM D341 is {slope}. Mineral oils have 3 to 4; the equation "
            "is meant for them alone.",
            slope=Measure(line.slope, "ratio", "1"),
        )


def _judge_class(given: Given, work: Working, at_40: float, index: float | None) -> None:
    if index is None:
        work.finding(
            Level.LOOK_CLOSER,
            "At 100 °C the oil has {viscosity_100}; below 2 mm²/s ASTM D2270 defines no viscosity "
            "index.",
        )
    elif index > _POLYMER_INDEX:
        work.finding(
            Level.LOOK_CLOSER,
            "An index of {index} (above 140, our figure) usually comes from long polymers. In the "
            "fast shear of a valve such an oil is thinner than the line of ASTM D341, and use tears "
            "the polymers.",
        )
    if given.choice("known") == "index":
        work.finding(
            Level.FINE,
            "ISO 3448 lets the viscosity at 40 °C be 10 % more or less than {viscosity_40}, and all "
            "others with it.",
        )
        return
    classes = [
        number for number in oil.VISCOSITY_GRADES
        if (limits := oil.viscosity_grade(grade=number)).minimum <= at_40 <= limits.maximum
    ]  # fmt: skip
    if classes:
        work.finding(
            Level.FINE,
            f"With {{viscosity_40}} at 40 °C the oil is of class ISO VG {classes[0]} (ISO 3448).",
        )
    else:
        work.finding(
            Level.FINE,
            "With {viscosity_40} at 40 °C the oil lies between two classes of ISO 3448 and has none.",
        )


def _curve(result: Result, low: float, high: float) -> Drawing:
    points = _two_points(result.given)
    span = grid(low, high, 81)
    here = result.given["temperature"]
    marks = [Point("here", here, result.outputs["viscosity"] or 0.0)] if low <= here <= high else []
    return Drawing(
        (Curve("viscosity", "accent", span,
               tuple(oil.kinematic_viscosity(temperature=at, **points) for at in span)),),
        tuple(marks),
    )  # fmt: skip


def _draw_all(result: Result) -> Drawing:
    return _curve(result, result.given["coldest"], result.given["hottest"])


def _draw_warm(result: Result) -> Drawing:
    cold, hot = result.given["coldest"], result.given["hottest"]
    return _curve(result, cold + 0.45 * (hot - cold), hot)


SHEET = Sheet(
    name="oil-viscosity",
    title="Oil viscosity",
    question="How thick is this oil at a temperature, and where does it turn stiff or thin?",
    page="calculate/oil-viscosity.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="all", title="Viscosity, cold to hot",
            statement="Cold, each degree counts: most of the change lies at the left end.",
            x=Axis("Temperature of the oil", "temperature", "°C", like="temperature"),
            y=Axis("Kinematic viscosity", "kinematic_viscosity", "mm²/s", like="viscosity"),
            draw=_draw_all,
        ),
        Chart(
            name="warm", title="The warm part",
            statement="The same curve where the damper works, on a scale of its own: the hotter, the "
                      "less each degree counts.",
            x=Axis("Temperature of the oil", "temperature", "°C", like="temperature"),
            y=Axis("Kinematic viscosity", "kinematic_viscosity", "mm²/s", like="viscosity"),
            draw=_draw_warm,
        ),
    ),
    limits=(
        "Liquid petroleum oils between cloud point and the beginning of boiling (ASTM D341).",
        "Oils with thickening polymers, esters and silicones are straight only near the two points.",
        "Near atmospheric pressure: 10 MPa make a mineral oil about a fifth thicker (common practice).",
        "Fresh oil; wear, water and torn polymers change it.",
    ),
)  # fmt: skip

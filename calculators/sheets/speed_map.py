"""Speed map: one corner, empty and loaded, with weaker and stronger dampers, at all speeds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache, partial
from math import ceil, isclose
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point
from calculators.errors import ConflictError
from calculators.physics import heat_map, quarter_car, ride, road
from calculators.physics.air import GREATEST_TEMPERATURE
from calculators.sheet import (
    Cell,
    Choice,
    Column,
    Input,
    Level,
    Measure,
    Option,
    Output,
    Rows,
    Sheet,
)
from calculators.sheets import _ride_form as form
from calculators.sheets import _ride_heat as heat

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from calculators.physics.quarter_car import QuarterCar
    from calculators.physics.ride_map import RideMap
    from calculators.physics.road import Profile
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_ROAD = "Road and drive"
_CORRUGATION, _CLASS = (("road", ("corrugation",)),), (("road", ("class",)),)
_SPEEDS = tuple(speed / 3.6 for speed in range(10, 121, 10))  # m/s, 10 to 120 km/h
_LOADS = ("loaded", "empty")
_ROLES = ("accent", "compression", "rebound", "steel")
_DURATION, _SETTLE = 4.0, 1.5  # s
_MOST_STEPS = 30_000  # 1, of the whole map
_SKIPPING = 0.05  # 1, share of the time off the ground that is too much; ours
_THROWN = 0.5  # 1, share of the time off the ground from which a ride may be one of chance
_HAIR = 1e-9  # 1, by which it is then driven faster
_CHANCE = 1e-3  # 1, change from that from which a ride is one of chance; ours

_FIGURES = {
    "airborne_share": ("Share of time off the ground", "percent", "%", "airborne",
                       ("Above zero the wheel skips: the first speed at which a curve rises is "
                       "where contact begins to go.")),
    "load_coefficient": ("Dynamic load coefficient", "percent", "%", "coefficient",
                         "The lower the curve, the steadier the tyre presses on the road."),
    "damper_power": ("Mean power of the damper", "power", "W", "power",
                     "The heat of the damper: where the wheel skips, it stops growing."),
    "temperature": ("Settled oil temperature", "temperature", "°C", "temperature",
                    ("Where the oil ends if the road goes on at this speed; the curve lies flat "
                     "at 300 °C where it would end higher. The wind grows with the speed.")),
}  # fmt: skip

_INPUTS = (
    Choice(
        name="road", label="Road",
        options=(Option("corrugation", "corrugations"), Option("class", "random, by class")),
        help="What the wheel drives over.",
        group=_ROAD,
    ),
    form.wavelength(_ROAD, _CORRUGATION),
    form.amplitude(_ROAD, _CORRUGATION),
    form.road_class(_ROAD, _CLASS),
    form.seed_of(_ROAD, _CLASS),
    replace(
        form.speed_of(_ROAD), label="Speed of comparison", minimum=10.0 / 3.6, maximum=120.0 / 3.6,
        help="Speed at which the dampers are compared; the map runs from 10 to 120 km/h.",
    ),
    replace(form.SPRUNG, label="Sprung mass, loaded"),
    Input(
        name="sprung_mass_empty", label="Sprung mass, empty", symbol="m_se", quantity="mass",
        unit="kg",
        default=510.0, minimum=20.0, maximum=6_000.0, group="Corner",
        reason="Leave out wheel, hub and axle; not above the loaded mass.",
        help="Body mass that this wheel carries without load.",
    ),
    form.UNSPRUNG, form.WHEEL_RATE, form.TYRE_RATE, form.TYRE_DAMPING, form.MOTION_RATIO,
    form.FRICTION,
    form.DAMPER,
    Rows(
        name="factors", label="Dampers to compare",
        columns=(
            Cell(label="Times the forces", symbol="k", quantity="ratio", unit="1", minimum=0.02,
                 maximum=20.0, reason="1 is the table itself."),
        ),
        default=((1.0,), (0.5,), (1.5,), (2.0,)), least=1, most=4, group="Damper",
        help="One factor a row, up to four: all forces of the table are multiplied by it. The "
             "first is the damper that the results speak of.",
    ),
    form.BUSH,
    *form.STOPS,
    *heat.INPUTS,
)  # fmt: skip


def _outputs() -> tuple[Output, ...]:
    shown = []
    for load in _LOADS:
        tail = load[0]
        shown += [
            Output(name=f"airborne_{load}", label=f"Share of time off the ground, {load}",
                   symbol=f"q_{tail}", quantity="percent", unit="%", headline=True,
                   meaning="First damper, at the speed of comparison."),
            Output(name=f"coefficient_{load}", label=f"Dynamic load coefficient, {load}",
                   symbol=f"r_{tail}", quantity="percent", unit="%",
                   meaning="First damper: rms change of the tyre load over the load at rest."),
            Output(name=f"power_{load}", label=f"Mean power of the damper, {load}",
                   symbol=f"P_{tail}", quantity="power", unit="W",
                   meaning="First damper: the heat that it has to shed."),
            Output(name=f"temperature_{load}", label=f"Settled oil temperature, {load}",
                   symbol=f"T_o{tail}", quantity="temperature", unit="°C",
                   meaning="First damper, if the road goes on; none above 300 °C."),
        ]  # fmt: skip
    return (
        *shown,
        Output(name="least_coefficient", label="Least load coefficient of all dampers",
               symbol="r_best", quantity="percent", unit="%", headline=True,
               meaning="Of the better damper, empty or loaded, whichever is worse with it."),
        Output(name="greatest_power", label="Greatest power of the map", symbol="P_max",
               quantity="power", unit="W",
               meaning="First damper, at any speed, empty or loaded."),
    )  # fmt: skip


_OUTPUTS = _outputs()


@dataclass(frozen=True, slots=True)
class _Map:
    """The map, by load and damper; the speed of comparison is one of its speeds."""

    found: RideMap
    chance: tuple[float, ...]  # by speed
    temperature: tuple[tuple[float | None, ...], ...]
    factors: tuple[float, ...]
    here: int  # entry of the speed of comparison
    plain: tuple[int, ...]  # entries of the speeds of the map

    def row(self, load: str, damper: int) -> int:
        return _LOADS.index(load) * len(self.factors) + damper

    def figures(self, name: str) -> Sequence[Sequence[float | None]]:
        """Return one figure by row and speed."""
        if name == "temperature":
            return self.temperature
        figures: Sequence[Sequence[float]] = getattr(self.found, name)
        return figures


def _driver() -> Callable[..., RideMap]:
    """Return what drives the map: it needs numpy, which others who read this sheet do not."""
    from calculators.physics.ride_map import ride_map  # noqa: PLC0415

    return ride_map


class _Run:
    """One map, driven when it is first asked for, with what of it is chance."""

    def __init__(
        self, cars: tuple[QuarterCar, ...], profile: Profile, speeds: tuple[float, ...]
    ) -> None:
        self._cars, self._profile, self._speeds = cars, profile, speeds
        self._found: tuple[RideMap, tuple[float, ...]] | None = None

    def found(self, report: Callable[[float], object] | None) -> tuple[RideMap, tuple[float, ...]]:
        """Return the map, and for each speed how much of its figures is chance.

        Whoever waits for it is told how far it is.
        """
        if self._found is None:
            found = self._driven(self._speeds, report)
            self._found = found, self._chance(found, report)
        return self._found

    def _driven(
        self, speeds: tuple[float, ...], report: Callable[[float], object] | None
    ) -> RideMap:
        return _driver()(
            cars=self._cars, profile=self._profile, speeds=speeds,
            duration=_DURATION, settle=_SETTLE, report=report,
        )  # fmt: skip

    def _chance(
        self, found: RideMap, report: Callable[[float], object] | None
    ) -> tuple[float, ...]:
        """Drive the speeds at which a wheel is thrown again, a hair faster, and compare."""
        shares = zip(*found.airborne_share, strict=True)
        thrown = [entry for entry, share in enumerate(shares) if max(share) >= _THROWN]
        chance = [0.0] * len(found.speeds)
        if thrown:
            twins = tuple(found.speeds[entry] * (1.0 + _HAIR) for entry in thrown)
            again = self._driven(twins, report and (lambda _share: report(1.0)))
            for place, entry in enumerate(thrown):
                chance[entry] = max(
                    abs(a[entry] - b[place]) / max(abs(a[entry]), abs(b[place]), 1e-300)
                    for name in ("load_coefficient", "damper_power")
                    for a, b in zip(getattr(found, name), getattr(again, name), strict=True)
                )
        return tuple(chance)


@lru_cache(maxsize=3)
def _run_of(cars: tuple[QuarterCar, ...], profile: Profile, speeds: tuple[float, ...]) -> _Run:
    steps = ceil(
        (_DURATION + _SETTLE) / ride.drive_step(cars=cars, profile=profile, speed=max(speeds))
    )
    if steps > _MOST_STEPS:
        message = (
            f"The map would take {steps} time steps; at most {_MOST_STEPS}. A softer tyre or "
            "stop, less leaf friction or a heavier wheel lets the steps be longer."
        )
        raise ConflictError(message, inputs=("tyre_rate", "unsprung_mass"))
    return _Run(cars, profile, speeds)


def _map_of(given: Given, report: Callable[[float], object] | None = None) -> _Map:
    if given["sprung_mass_empty"] > given["sprung_mass"]:
        message = "The empty mass is above the loaded mass. Swap them, or give the same for both."
        raise ConflictError(message, inputs=("sprung_mass_empty", "sprung_mass"))
    if given.choice("road") == "corrugation":
        profile = road.corrugation(wavelength=given["wavelength"], amplitude=given["amplitude"])
    else:
        profile = form.random_road(given.choice("road_class"), round(given["seed"]))
    factors = tuple(factor for (factor,) in given.rows("factors"))
    masses = {"loaded": given["sprung_mass"], "empty": given["sprung_mass_empty"]}
    cars = tuple(
        form.car_of(given, sprung_mass=masses[load], factor=factor)
        for load in _LOADS
        for factor in factors
    )
    compared = next((one for one in _SPEEDS if isclose(one, given["speed"])), given["speed"])
    speeds = tuple(sorted({*_SPEEDS, compared}))
    damper = heat.damper_of(given)
    found, chance = _run_of(cars, profile, speeds).found(report)
    return _Map(
        found,
        chance,
        heat.temperatures(damper, given["air_temperature"], given["wind_share"], found),
        factors,
        speeds.index(compared),
        tuple(speeds.index(speed) for speed in _SPEEDS),
    )


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    drawn = _map_of(given, work.done)
    outputs: dict[str, float | None] = {}
    if given.choice("road") == "corrugation":
        work.step(
            "Crests in a second, at the speed of comparison",
            "f = V/lambda_w",
            road.driving_frequency(speed=given["speed"], wavelength=given["wavelength"]),
            quantity="frequency",
            source=road.driving_frequency,
        )
    work.step(
        "Wind at the damper, at the speed of comparison",
        "w = s_w*V",
        given["wind_share"] * given["speed"],
        quantity="velocity",
        source=heat_map.settled_temperatures,
    )
    for load in _LOADS:
        outputs |= _record_first(given, work, drawn, load)
        outputs[f"temperature_{load}"] = _record_heat(given, work, drawn, load)
    outputs["least_coefficient"] = _record_best(work, drawn)
    outputs["greatest_power"] = _record_power(work, drawn)
    _tables(work, drawn)
    _judge(work, drawn)
    _judge_heat(given, work, drawn)
    _judge_validity(given, work, drawn)
    return outputs


def _record_first(given: Given, work: Working, drawn: _Map, load: str) -> dict[str, float | None]:
    """Record the first damper at the speed of comparison."""
    tail, row, here, found = load[0], drawn.row(load, 0), drawn.here, drawn.found
    mass = "m_s" if load == "loaded" else "m_se"
    sprung = given["sprung_mass" if load == "loaded" else "sprung_mass_empty"]
    static = work.step(
        f"Tyre load at rest, {load}",
        f"F_{tail} = ({mass} + m_u)*9.80665",
        (sprung + given["unsprung_mass"]) * quarter_car.STANDARD_GRAVITY,
        quantity="force",
        source=quarter_car.static_tyre_load,
    )
    share, coefficient, power = (
        column[row][here]
        for column in (found.airborne_share, found.load_coefficient, found.damper_power)
    )
    work.let("T_c", _DURATION, quantity="time")
    work.let(f"t_{tail}", share * _DURATION, quantity="time")
    work.let(f"sigma_{tail}", coefficient * static, quantity="force")
    work.let(f"W_{tail}", power * _DURATION, quantity="energy")
    source = _driver()
    return {
        f"airborne_{load}": work.step(
            f"Share of time off the ground, {load}: time without load over all time, step by step",
            f"q_{tail} = t_{tail}/T_c", share, quantity="percent", unit="%", source=source,
        ),
        f"coefficient_{load}": work.step(
            f"Dynamic load coefficient, {load}: rms change of the load over the load at rest",
            f"r_{tail} = sigma_{tail}/F_{tail}", coefficient, quantity="percent", unit="%",
            source=source,
        ),
        f"power_{load}": work.step(
            f"Mean power, {load}: heat over time", f"P_{tail} = W_{tail}/T_c", power,
            quantity="power", source=source,
        ),
    }  # fmt: skip


def _record_heat(given: Given, work: Working, drawn: _Map, load: str) -> float | None:
    """Record where the oil of the first damper settles at the speed of comparison."""
    settled, tail = drawn.temperature[drawn.row(load, 0)][drawn.here], load[0]
    if settled is None:
        return None
    rise = settled - given["air_temperature"]
    work.let(f"DeltaT_{tail}", rise, quantity="temperature_difference", unit="K")
    return work.step(
        f"Settled oil, {load}: with this rise above the air the damper sheds P_{tail}",
        f"T_o{tail} = T_a + DeltaT_{tail}", settled, quantity="temperature", unit="°C",
        source=heat_map.settled_temperatures,
    )  # fmt: skip


def _worse(drawn: _Map, damper: int) -> float:
    """Return the load coefficient of a damper, empty or loaded, whichever is worse."""
    found = drawn.found.load_coefficient
    return max(found[drawn.row(load, damper)][drawn.here] for load in _LOADS)


def _record_best(work: Working, drawn: _Map) -> float:
    names = []
    for damper in range(len(drawn.factors)):
        for load in _LOADS:
            value = drawn.found.load_coefficient[drawn.row(load, damper)][drawn.here]
            name = f"r_{damper + 1}{load[0]}"
            work.let(name, value, quantity="percent", unit="%")
        work.step(
            f"Damper {damper + 1}: the worse of loaded and empty",
            f"R_{damper + 1} = max(r_{damper + 1}l, r_{damper + 1}e)",
            _worse(drawn, damper),
            quantity="percent",
            unit="%",
            source=_driver(),
        )
        names.append(f"R_{damper + 1}")
    least = min(_worse(drawn, damper) for damper in range(len(drawn.factors)))
    formula = f"min({', '.join(names)})" if len(names) > 1 else names[0]
    return work.step(
        "Least of all dampers", f"r_best = {formula}", least,
        quantity="percent", unit="%", source=_driver(),
    )  # fmt: skip


def _record_power(work: Working, drawn: _Map) -> float:
    tops = []
    for load in _LOADS:
        powers = drawn.found.damper_power[drawn.row(load, 0)]
        tops.append(work.let(f"P_{load[0]}_max", max(powers), quantity="power"))
    return work.step(
        "Greatest power of the first damper, of all speeds and both loads",
        "P_max = max(P_l_max, P_e_max)",
        max(tops),
        quantity="power",
        source=_driver(),
    )


def _name(factor: float) -> str:
    return f"{factor:g} ×"


def _tables(work: Working, drawn: _Map) -> None:
    cases = [(load, damper) for load in _LOADS for damper in range(len(drawn.factors))]
    for figure, (title, quantity, unit, like, _) in _FIGURES.items():
        columns = [Column("Speed", "V", "velocity", "km/h")]
        columns += [
            Column(f"{_name(drawn.factors[damper])} {load}", "", quantity, unit)
            for load, damper in cases
        ]
        figures = drawn.figures(figure)
        rows = tuple(
            (speed, *(figures[drawn.row(load, damper)][entry] for load, damper in cases))
            for entry, speed in enumerate(drawn.found.speeds)
        )
        words = f"{title} (none: above 300 °C)" if figure == "temperature" else title
        work.table(f"map-{like}", words, tuple(columns), rows)


def _judge_heat(given: Given, work: Working, drawn: _Map) -> None:
    """Say whether the first damper bears the road at the speed of comparison for long."""
    settled = [drawn.temperature[drawn.row(load, 0)][drawn.here] for load in _LOADS]
    limit = given["limit_temperature"]
    if any(value is None for value in settled):
        text = (
            "At {speed} the oil of the first damper would pass 300 °C if the road went on: such a "
            "section has to be short. The heat calculator tells the minutes to {limit_temperature}."
        )
        work.finding(Level.DO_NOT_BUILD, text)
        return
    hottest = max(value for value in settled if value is not None)
    text = (
        "At {speed} the oil of the first damper settles at {hottest}, "
        f"{'above' if hottest > limit else 'not above'} the limit of {{limit_temperature}}."
    )
    level = Level.LOOK_CLOSER if hottest > limit else Level.FINE
    work.finding(level, text, hottest=Measure(hottest, "temperature", "°C"))


def _judge_validity(given: Given, work: Working, drawn: _Map) -> None:
    """Say where rides are left to chance, and where the damper is driven beyond its table."""
    speeds = drawn.found.speeds
    wild = [entry for entry, chance in enumerate(drawn.chance) if chance > _CHANCE]
    if wild:
        worst = max(wild, key=drawn.chance.__getitem__)
        work.finding(
            Level.LOOK_CLOSER,
            f"At {len(wild)} of {len(speeds)} speeds, first at {{first_wild}}, a wheel is thrown so "
            "far that no two rides are alike. At {worst_wild} a billionth more speed changes these "
            "figures by up to {chance}, of one load and damper or another. Read no digit beyond that.",
            first_wild=Measure(speeds[wild[0]], "velocity", "km/h"),
            worst_wild=Measure(speeds[worst], "velocity", "km/h"),
            chance=Measure(drawn.chance[worst], "percent", "%"),
        )
    fastest = given.rows("damper")[-1][0]
    beyond = [
        entry for entry in range(len(speeds))
        if max(drawn.found.peak_velocity[drawn.row(load, 0)][entry] for load in _LOADS) > fastest
    ]  # fmt: skip
    if beyond:
        peaks = drawn.found.peak_velocity
        most = max(peaks[drawn.row(load, 0)][entry] for load in _LOADS for entry in beyond)
        work.finding(
            Level.LOOK_CLOSER,
            f"At {len(beyond)} of {len(speeds)} speeds, first at {{first_beyond}}, the rod of the "
            "first damper is faster than the {fastest} of its table, up to {most}: the last line "
            "of the table was drawn on. Measure the damper at such speeds.",
            first_beyond=Measure(speeds[beyond[0]], "velocity", "km/h"),
            fastest=Measure(fastest, "velocity", "m/s"),
            most=Measure(most, "velocity", "m/s"),
        )


def _judge(work: Working, drawn: _Map) -> None:
    found = drawn.found
    shares = {load: found.airborne_share[drawn.row(load, 0)] for load in _LOADS}
    here = max(share[drawn.here] for share in shares.values())
    if here == 0.0:
        work.finding(Level.FINE, "At {speed} the first damper keeps the wheel on the ground, "
                                 "empty and loaded.")  # fmt: skip
    else:
        work.finding(
            Level.DO_NOT_BUILD if here >= _SKIPPING else Level.LOOK_CLOSER,
            "At {speed} the wheel is off the ground for {airborne_loaded} of the time loaded and "
            "{airborne_empty} empty. Above 5 % is too much, our limit.",
        )
    # A share is known to 0.5 percentage points: below that nothing counts as lift-off.
    free = [
        speed
        for entry, speed in enumerate(found.speeds)
        if all(shares[load][before] < 0.005 for load in _LOADS for before in range(entry + 1))  # noqa: PLR2004
    ]
    if free and len(free) < len(found.speeds):
        work.finding(
            Level.FINE,
            "Up to {free_speed} of the map the wheel stays on the ground with the first damper, "
            "empty and loaded.",
            free_speed=Measure(free[-1], "velocity", "km/h"),
        )
    elif not free:
        work.finding(Level.DO_NOT_BUILD, "With the first damper the wheel leaves the ground at "
                                         "the lowest speed of the map already.")  # fmt: skip
    else:
        work.finding(Level.FINE, "The wheel stays on the ground at all speeds of the map.")
    coefficients = found.load_coefficient
    worst = max(
        range(len(found.speeds)),
        key=lambda entry: max(coefficients[drawn.row(load, 0)][entry] for load in _LOADS),
    )
    work.finding(
        Level.LOOK_CLOSER,
        "The tyre load swings most at {worst_speed}"
        + (
            ", the highest speed of the map."
            if worst == len(found.speeds) - 1
            else ": here faster isn't always worse, nor slower always better."
        ),
        worst_speed=Measure(found.speeds[worst], "velocity", "km/h"),
    )
    best = min(range(len(drawn.factors)), key=partial(_worse, drawn))
    if len(drawn.factors) > 1:
        text = (
            "Of these dampers the first holds the wheel best at {speed}."
            if best == 0
            else f"At {{speed}} the damper with {_name(drawn.factors[best])} the forces holds the "
            "wheel better than the first: {least_coefficient} where the first has {first}. Look "
            "at body acceleration and at other roads before you choose it."
        )
        level = Level.FINE if best == 0 else Level.LOOK_CLOSER
        work.finding(level, text, first=Measure(_worse(drawn, 0), "percent", "%"))


def _draw(result: Result, *, figure: str, load: str) -> Drawing:
    drawn = _map_of(result.given)

    def shown(damper: int) -> list[float]:
        row = drawn.figures(figure)[drawn.row(load, damper)]
        return [GREATEST_TEMPERATURE if value is None else value for value in row]

    curves = [
        Curve(_label(drawn, damper), role, [drawn.found.speeds[entry] for entry in drawn.plain],
              [shown(damper)[entry] for entry in drawn.plain])
        for damper, role in zip(range(len(drawn.factors)), _ROLES, strict=False)
    ]  # fmt: skip
    here = shown(0)[drawn.here]
    return Drawing(tuple(curves), (Point("here", drawn.found.speeds[drawn.here], here),))


def _label(drawn: _Map, damper: int) -> str:
    """Return the name of a damper; where two rows are alike, their numbers tell them apart."""
    factor = drawn.factors[damper]
    alike = drawn.factors.count(factor) > 1
    return f"{_name(factor)}, row {damper + 1}" if alike else _name(factor)


_CHARTS = tuple(
    Chart(
        name=f"{like}-{load}", title=f"{label}, {load}", statement=statement,
        x=Axis("Speed of the vehicle", "velocity", "km/h", like="speed"),
        y=Axis(label, quantity, unit, like=f"{like}_{load}"),
        draw=partial(_draw, figure=figure, load=load),
    )
    for figure, (label, quantity, unit, like, statement) in _FIGURES.items()
    for load in _LOADS
)  # fmt: skip

SHEET = Sheet(
    name="speed-map",
    title="Speed map",
    question="At which speeds does the wheel leave the ground, empty and loaded, and would "
             "another damper hold it?",
    page="calculate/speed-map.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=_CHARTS,
    limits=(
        ("The limits of the ride calculator hold here too: one wheel, a tyre that touches in a "
        "point, one temperature."),
        ("4 s count after 1.5 s to settle: shares are within 0.5 percentage points of a fine run, "
        "rms values and power within 1 %."),
        ("The heat is that of the power at the normal temperature, steady driving, an upright body "
        "with walls of 2 mm in the shade, an oil of ISO VG 15, and in a reservoir oil as hot as in "
        "the damper; a hot damper takes less, so the temperatures are upper bounds. Expect 20 to "
        "30 % on the rise (common practice). Whether the equations are within their proven ranges "
        "is told by the heat calculator."),
        "A damper of other strength is the same table times a factor; its shape and the split stay.",
        "Between the speeds of the map the curves are straight lines.",
    ),
    needs=("numpy",),
    on_request=True,
)  # fmt: skip

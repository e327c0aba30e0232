"""Frequency view: what a road of each frequency makes of a corner with a straight damper."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import inf, pi, sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.chart import Axis, Chart, Curve, Drawing, Point
from calculators.physics import frequency as linear
from calculators.physics import quarter_car, random_ride, road, roughness
from calculators.physics.frequency import LinearCar
from calculators.sheet import Column, Input, Level, Measure, Output, Sheet
from calculators.sheets import _ride_form as form

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from calculators.physics.frequency import SineRide
    from calculators.physics.random_ride import RandomRide
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_ROAD = "Road and drive"
_SHORTEST, _LONGEST = 0.4, 50.0  # m, waves of a random road; the band of the ride sheet
_POINTS = 110  # of a curve
_LOWEST = 0.25  # Hz, where the curves begin
_NEAR = 0.25  # 1, of the wheel-hop frequency, to either side; ours
_FACTORS = ((1.0, "this damper", "accent"), (0.5, "half of it", "rebound"),
            (2.0, "twice of it", "compression"))  # fmt: skip

_INPUTS = (
    form.SPRUNG, form.UNSPRUNG, form.WHEEL_RATE, form.TYRE_RATE, form.TYRE_DAMPING,
    form.MOTION_RATIO,
    Input(
        name="damping", label="Damping coefficient", symbol="c", quantity="damping", unit="N·s/m",
        default=4_000.0, minimum=50.0, maximum=200_000.0, group="Damper",
        reason="Mean of compression and rebound, at the damper.",
        help="Force over rod speed, mean of both directions, at the rod speed that the results show.",
    ),
    form.BUSH,
    form.speed_of(_ROAD),
    form.wavelength(_ROAD),
    replace(form.amplitude(_ROAD), help="Of the corrugations, and of all curves."),
    form.road_class(_ROAD),
)  # fmt: skip

_OUTPUTS = (
    Output(name="body_frequency", label="Body frequency", symbol="f_1", quantity="frequency",
           unit="Hz", headline=True, meaning="The body swings on spring and tyre, undamped."),
    Output(name="hop_frequency", label="Wheel-hop frequency", symbol="f_2", quantity="frequency",
           unit="Hz", headline=True,
           meaning="The wheel swings between body and road, undamped."),
    Output(name="load_coefficient", label="Dynamic load coefficient on the random road",
           symbol="r_F", quantity="percent", unit="%", headline=True,
           meaning="Rms change of the tyre load over the load at rest."),
    Output(name="frequency", label="Crests in a second", symbol="f", quantity="frequency",
           unit="Hz", meaning="On the corrugations, at this speed."),
    Output(name="hop_speed", label="Speed at which they meet wheel hop", symbol="V_2",
           quantity="velocity", unit="km/h", meaning="Corrugations are at their worst near it."),
    Output(name="load_amplitude", label="Swing of the tyre load", symbol="F_t", quantity="force",
           unit="N", meaning="On the corrugations; above the load at rest the wheel would lift."),
    Output(name="acceleration_amplitude", label="Body acceleration", symbol="a_c",
           quantity="acceleration", unit="m/s²", meaning="Amplitude on the corrugations."),
    Output(name="travel_amplitude", label="Suspension travel", symbol="x_c", quantity="length",
           unit="mm", meaning="Amplitude on the corrugations, at the wheel."),
    Output(name="rod_amplitude", label="Rod speed", symbol="u_c", quantity="velocity",
           unit="m/s", meaning="Amplitude on the corrugations, behind the bushes."),
    Output(name="body_acceleration", label="Body acceleration, rms", symbol="sigma_a",
           quantity="acceleration", unit="m/s²", meaning="On the random road."),
    Output(name="weighted_acceleration", label="Body acceleration as felt, rms", symbol="sigma_w",
           quantity="acceleration", unit="m/s²",
           meaning="On the random road, weighted by W_k of ISO 2631-1."),
    Output(name="travel", label="Suspension travel, rms", symbol="sigma_x", quantity="length",
           unit="mm", meaning="On the random road; three times as much is reached now and then."),
    Output(name="rod_velocity", label="Rod speed, rms", symbol="sigma_u", quantity="velocity",
           unit="m/s", meaning="On the random road."),
    Output(name="mean_power", label="Mean power of the damper", symbol="P_d", quantity="power",
           unit="W", meaning="Heat on the random road."),
    Output(name="fixed_travel", label="Fixed point of the travel", symbol="f_x",
           quantity="frequency", unit="Hz",
           meaning="Here travel is the same whatever spring and damper are."),
    Output(name="fixed_acceleration", label="Fixed point of the body", symbol="f_a",
           quantity="frequency", unit="Hz",
           meaning="Here body acceleration is the same whatever spring and damper are."),
)  # fmt: skip

_COMPARED = (
    Column("Damper"),
    Column("Coefficient", "c", "damping", "N·s/m"),
    Column("Load coefficient", "r_F", "percent", "%"),
    Column("Body acceleration, rms", "sigma_a", "acceleration", "m/s²"),
    Column("as felt", "sigma_w", "acceleration", "m/s²"),
    Column("Travel, rms", "sigma_x", "length", "mm"),
    Column("Power", "P_d", "power", "W"),
)


class _Sine(NamedTuple):
    """The corner on a sine of each frequency."""

    frequencies: tuple[float, ...]
    rides: tuple[SineRide, ...]


def _car(given: Given, factor: float = 1.0) -> LinearCar:
    bush = given.optional("bush_rate")
    return LinearCar(
        sprung_mass=given["sprung_mass"],
        unsprung_mass=given["unsprung_mass"],
        wheel_rate=given["wheel_rate"],
        tyre_rate=given["tyre_rate"],
        damping=factor * given["damping"],
        motion_ratio=given["motion_ratio"],
        bush_rate=inf if bush is None else bush,
        tyre_damping=given["tyre_damping"],
    )


@lru_cache(maxsize=8)
def _swept(car: LinearCar, amplitude: float, top: float) -> _Sine:
    ratio = (top / _LOWEST) ** (1.0 / (_POINTS - 1))
    frequencies = tuple(_LOWEST * ratio**k for k in range(_POINTS))
    return _Sine(
        frequencies,
        tuple(linear.sine_ride(car=car, frequency=f, amplitude=amplitude) for f in frequencies),
    )


@lru_cache(maxsize=8)
def _on_random_road(car: LinearCar, road_class: str, speed: float) -> RandomRide:
    mean = roughness.roughness_class(name=road_class).mean
    return random_ride.random_ride(
        car=car, roughness=mean, speed=speed, shortest=_SHORTEST, longest=_LONGEST
    )


def _random(given: Given, factor: float = 1.0) -> RandomRide:
    return _on_random_road(_car(given, factor), given.choice("road_class"), given["speed"])


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    static = (given["sprung_mass"] + given["unsprung_mass"]) * quarter_car.STANDARD_GRAVITY
    work.step(
        "Tyre load at rest",
        "F_0 = (m_s + m_u)*9.80665",
        static,
        quantity="force",
        source=quarter_car.static_tyre_load,
    )
    outputs = _record_marks(given, work)
    outputs |= _record_sine(given, work)
    outputs |= _record_random(given, work, static)
    _compare(given, work, static)
    _judge(given, work, static, outputs)
    return outputs


def _record_marks(given: Given, work: Working) -> dict[str, float | None]:
    marks = linear.frequency_marks(car=_car(given))

    def mark(label: str, formula: str, value: float) -> float:
        return work.step(label, formula, value, quantity="frequency", source=linear.frequency_marks)

    half = "((k_w + k_t)/m_u + k_w/m_s)/2"
    return {
        "hop_frequency": mark(
            "Wheel-hop frequency: the upper root of the two masses on their springs",
            f"f_2 = sqrt({half} + sqrt(({half})**2 - k_w*k_t/(m_s*m_u)))/(2*pi)",
            marks.wheel_hop,
        ),
        "body_frequency": mark(
            "Body frequency: the product of both roots is known",
            "f_1 = sqrt(k_w*k_t/(m_s*m_u))/((2*pi)**2*f_2)",
            marks.body,
        ),
        "fixed_travel": mark(
            "Fixed point of the travel", "f_x = sqrt(k_t/(m_s + m_u))/(2*pi)", marks.fixed_travel
        ),
        "fixed_acceleration": mark(
            "Fixed point of the body", "f_a = sqrt(k_t/m_u)/(2*pi)", marks.fixed_acceleration
        ),
        "hop_speed": work.step(
            "Speed at which the corrugations meet wheel hop",
            "V_2 = f_2*lambda_w",
            marks.wheel_hop * given["wavelength"],
            quantity="velocity",
            unit="km/h",
            source=road.driving_frequency,
        ),
    }


def _record_sine(given: Given, work: Working) -> dict[str, float | None]:
    """Record the responses on the corrugations, in real arithmetic."""
    car, source = _car(given), linear.transfer
    frequency = work.step(
        "Crests in a second",
        "f = V/lambda_w",
        road.driving_frequency(speed=given["speed"], wavelength=given["wavelength"]),
        quantity="frequency",
        source=road.driving_frequency,
    )
    omega = work.step(
        "Angular frequency", "omega = 2*pi*f", 2.0 * pi * frequency,
        quantity="angular_frequency", source=source,
    )  # fmt: skip

    def stiffness(label: str, formula: str, value: float) -> float:
        return work.step(label, formula, value, quantity="stiffness", unit="kN/m", source=source)

    m_s, m_u, k_t, mr, c = (
        car.sprung_mass, car.unsprung_mass, car.tyre_rate, car.motion_ratio, car.damping
    )  # fmt: skip
    yielding, below = 0.0, ""
    spring = car.wheel_rate
    if car.bush_rate != inf:
        yielding = work.step(
            "What the bushes yield", "y = omega*c/K_b", omega * c / car.bush_rate,
            quantity="ratio", source=source,
        )  # fmt: skip
        below = "/(1 + y**2)"
        spring += mr**2 * car.bush_rate * yielding**2 / (1.0 + yielding**2)
    s_r = stiffness(
        "Spring, and damper on its bushes, in step with the travel",
        "S_r = k_w" + (f" + MR_d**2*K_b*y**2{below}" if below else ""),
        spring,
    )
    s_i = stiffness(
        "The same, a quarter turn ahead",
        f"S_i = MR_d**2*omega*c{below}",
        mr**2 * omega * c / (1.0 + yielding**2),
    )
    t_i = stiffness("Tyre, a quarter turn ahead", "T_i = omega*c_t", omega * car.tyre_damping)
    stiffness("Tyre, size", "T_s = sqrt(k_t**2 + T_i**2)", sqrt(k_t**2 + t_i**2))
    body, wheel = s_r - m_s * omega**2, s_r + k_t - m_u * omega**2
    d_r = stiffness(
        "Determinant of both masses over the tyre rate, in step",
        "D_r = ((S_r - m_s*omega**2)*(S_r + k_t - m_u*omega**2) - S_i*(S_i + T_i) - S_r**2 "
        "+ S_i**2)/k_t",
        (body * wheel - s_i * (s_i + t_i) - s_r**2 + s_i**2) / k_t,
    )
    d_i = stiffness(
        "The same, a quarter turn ahead",
        "D_i = ((S_r - m_s*omega**2)*(S_i + T_i) + S_i*(S_r + k_t - m_u*omega**2) - 2*S_r*S_i)/k_t",
        (body * (s_i + t_i) + s_i * wheel - 2.0 * s_r * s_i) / k_t,
    )
    stiffness("Determinant, size", "D_s = sqrt(D_r**2 + D_i**2)", sqrt(d_r**2 + d_i**2))
    ride = linear.sine_ride(car=car, frequency=frequency, amplitude=given["amplitude"])
    stiffness(
        "What both masses ask of the tyre, over its rate, in step",
        "N_r = (m_s*m_u*omega**4 - (m_s + m_u)*omega**2*S_r)/k_t",
        (m_s * m_u * omega**4 - (m_s + m_u) * omega**2 * s_r) / k_t,
    )
    stiffness(
        "The same, a quarter turn ahead",
        "N_i = -(m_s + m_u)*omega**2*S_i/k_t",
        -(m_s + m_u) * omega**2 * s_i / k_t,
    )
    return {
        "frequency": frequency,
        "load_amplitude": work.step(
            "Swing of the tyre load",
            "F_t = a*T_s*sqrt(N_r**2 + N_i**2)/D_s",
            ride.tyre_force,
            quantity="force",
            source=linear.sine_ride,
        ),
        "acceleration_amplitude": work.step(
            "Body acceleration",
            "a_c = a*omega**2*T_s/k_t*sqrt(S_r**2 + S_i**2)/D_s",
            ride.body_acceleration,
            quantity="acceleration",
            source=linear.sine_ride,
        ),
        "travel_amplitude": work.step(
            "Suspension travel",
            "x_c = a*m_s*omega**2*T_s/k_t/D_s",
            ride.travel,
            quantity="length",
            unit="mm",
            source=linear.sine_ride,
        ),
        "rod_amplitude": work.step(
            "Rod speed",
            "u_c = MR_d*omega*x_c" + ("/sqrt(1 + y**2)" if below else ""),
            ride.damper_velocity,
            quantity="velocity",
            source=linear.sine_ride,
        ),
    }


def _record_random(given: Given, work: Working, static: float) -> dict[str, float | None]:
    """Record the rms values: road speed in the band, times what the corner makes of it."""
    ride = _random(given)
    mean = roughness.roughness_class(name=given.choice("road_class")).mean
    work.let("G_d", mean, quantity="volume")
    work.let("lambda_1", _SHORTEST, quantity="length")
    work.let("lambda_2", _LONGEST, quantity="length")
    level = roughness.velocity_psd(roughness=mean, speed=given["speed"])
    band = given["speed"] * (1.0 / _SHORTEST - 1.0 / _LONGEST)
    below = work.step(
        "Vertical speed of the road under the wheel, rms, in its band; n₀ = 0.1 waves a metre",
        "sigma_v = 2*pi*0.1*V*sqrt(G_d*(1/lambda_1 - 1/lambda_2))",
        sqrt(level * band),
        quantity="velocity",
        source=roughness.velocity_psd,
    )

    def rms(label: str, result: str, gain: str, value: float, *, quantity: str, unit: str = "",
            gain_quantity: str) -> float:  # fmt: skip
        work.let(gain, value / below, quantity=gain_quantity)
        return work.step(
            f"{label}: speed of the road times the gain, rms over the band",
            f"{result} = {gain}*sigma_v",
            value,
            quantity=quantity,
            unit=unit,
            source=random_ride.random_ride,
        )

    rms("Change of the tyre load, rms", "sigma_F", "g_F", ride.tyre_force, quantity="force",
        gain_quantity="damping")  # fmt: skip
    felt = ride.weighted_acceleration
    assert felt is not None
    return {
        "load_coefficient": work.step(
            "Dynamic load coefficient",
            "r_F = sigma_F/F_0",
            ride.tyre_force / static,
            quantity="percent",
            unit="%",
            source=random_ride.random_ride,
        ),
        "body_acceleration": rms(
            "Body acceleration, rms", "sigma_a", "g_a", ride.body_acceleration,
            quantity="acceleration", gain_quantity="frequency",
        ),
        "weighted_acceleration": rms(
            "Body acceleration as felt, rms", "sigma_w", "g_w", felt,
            quantity="acceleration", gain_quantity="frequency",
        ),
        "travel": rms(
            "Suspension travel, rms", "sigma_x", "g_x", ride.travel,
            quantity="length", unit="mm", gain_quantity="time",
        ),
        "rod_velocity": rms(
            "Rod speed, rms", "sigma_u", "g_u", ride.damper_velocity,
            quantity="velocity", gain_quantity="ratio",
        ),
        "mean_power": work.step(
            "Mean power of the damper",
            "P_d = c*sigma_u**2",
            ride.damper_power,
            quantity="power",
            source=random_ride.random_ride,
        ),
    }  # fmt: skip


def _compare(given: Given, work: Working, static: float) -> None:
    rows = []
    for factor, label, _ in _FACTORS:
        ride = _random(given, factor)
        rows.append(
            (label, factor * given["damping"], ride.tyre_force / static, ride.body_acceleration,
             ride.weighted_acceleration, ride.travel, ride.damper_power)
        )  # fmt: skip
    work.table("compared", "The same corner with other damping, on the random road", _COMPARED,
               tuple(rows))  # fmt: skip


def _judge(given: Given, work: Working, static: float, outputs: Mapping[str, float | None]) -> None:
    swing, frequency, hop, coefficient = (
        outputs[name] or 0.0
        for name in ("load_amplitude", "frequency", "hop_frequency", "load_coefficient")
    )
    rest = Measure(static, "force", "N")
    if swing > static:
        work.finding(
            Level.LOOK_CLOSER,
            "On these corrugations the load would swing by {load_amplitude}, more than the {rest} "
            "at rest: the tyre would have to pull. The wheel lifts off instead; drive it in the "
            "ride calculator.",
            rest=rest,
        )
    else:
        work.finding(
            Level.FINE,
            "On these corrugations the load swings by {load_amplitude} about the {rest} at rest: "
            "the wheel stays on the ground, and the figures hold.",
            rest=rest,
        )
    if abs(frequency / hop - 1.0) < _NEAR:
        work.finding(
            Level.LOOK_CLOSER,
            "{frequency} is near wheel hop, {hop_frequency}: at {hop_speed} on this wavelength "
            "the wheel answers most. Within 25 % counts as near, our choice.",
        )
    if coefficient > 1.0 / 3.0:
        work.finding(
            Level.LOOK_CLOSER,
            "On the random road the load coefficient is {load_coefficient}: three times the rms "
            "is more than the load at rest, so the wheel leaves the ground now and then.",
        )
    _judge_damping(given, work)


def _judge_damping(given: Given, work: Working) -> None:
    rides = {factor: _random(given, factor) for factor, _, _ in _FACTORS}
    grip = min(rides, key=lambda factor: rides[factor].tyre_force)
    calm = min(rides, key=lambda factor: rides[factor].body_acceleration)
    words = {factor: label for factor, label, _ in _FACTORS}
    work.finding(
        Level.FINE if grip == 1.0 else Level.LOOK_CLOSER,
        f"Of half, this and twice the damping, {words[grip]} holds the wheel on the random road "
        f"best, and {words[calm]} shakes the body least. The table compares them.",
    )


def _drawn(result: Result, value: Callable[[SineRide], float], name: str) -> Drawing:
    given = result.given
    hop, here = (result.outputs[key] or 0.0 for key in ("hop_frequency", "frequency"))
    top = max(1.6 * hop, 1.2 * here, 4.0 * _LOWEST)
    curves = []
    for factor, label, role in _FACTORS:
        sine = _swept(_car(given, factor), given["amplitude"], top)
        curves.append(Curve(label, role, sine.frequencies, [value(ride) for ride in sine.rides]))
    car = _car(given)

    def at(label: str, frequency: float) -> Point:
        ride = linear.sine_ride(car=car, frequency=frequency, amplitude=given["amplitude"])
        return Point(label, frequency, value(ride))

    marks = [at("body", result.outputs["body_frequency"] or 0.0)]
    near = abs(here / hop - 1.0) < _NEAR  # two labels would lie on each other
    if not near:
        marks.append(at("wheel hop", hop))
    label = "here, near wheel hop" if near else "here"
    return Drawing(tuple(curves), (*marks, Point(label, here, result.outputs[name] or 0.0)))


def _draw_load(result: Result) -> Drawing:
    return _drawn(result, lambda ride: ride.tyre_force, "load_amplitude")


def _draw_acceleration(result: Result) -> Drawing:
    return _drawn(result, lambda ride: ride.body_acceleration, "acceleration_amplitude")


def _draw_travel(result: Result) -> Drawing:
    return _drawn(result, lambda ride: ride.travel, "travel_amplitude")


def _draw_rod(result: Result) -> Drawing:
    return _drawn(result, lambda ride: ride.damper_velocity, "rod_amplitude")


_FREQUENCY = Axis("Frequency of the road under the wheel", "frequency", "Hz", like="frequency")

SHEET = Sheet(
    name="frequency-view",
    title="Frequency view",
    question="At which frequencies do body and wheel answer, and what does the damper change?",
    page="calculate/frequency-view.md",
    inputs=_INPUTS,
    outputs=_OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="load", title="Swing of the tyre load",
            statement="The damper decides the height of the peak at wheel hop: this is where the "
                      "wheel is held on the ground or lost.",
            x=_FREQUENCY, y=Axis("Tyre load, amplitude", "force", "N", like="load_amplitude"),
            draw=_draw_load,
        ),
        Chart(
            name="acceleration", title="Body acceleration",
            statement="More damping calms the body at its own frequency and shakes it harder "
                      "between there and wheel hop.",
            x=_FREQUENCY,
            y=Axis("Body acceleration, amplitude", "acceleration", "m/s²",
                   like="acceleration_amplitude"),
            draw=_draw_acceleration,
        ),
        Chart(
            name="travel", title="Suspension travel",
            statement="All curves cross in one place: there neither spring nor damper changes the "
                      "travel.",
            x=_FREQUENCY, y=Axis("Wheel travel, amplitude", "length", "mm",
                                 like="travel_amplitude"),
            draw=_draw_travel,
        ),
        Chart(
            name="rod", title="Rod speed",
            statement="The damper works fastest at wheel hop.",
            x=_FREQUENCY, y=Axis("Rod speed, amplitude", "velocity", "m/s", like="rod_amplitude"),
            draw=_draw_rod,
        ),
    ),
    limits=(
        ("Straight lines throughout: one coefficient for both directions and all speeds, no stops, "
        "no friction."),
        ("The tyre pulls as well as it pushes; where the load would swing beyond its value at rest, "
        "the wheel leaves the ground instead."),
        "The curves are steady amplitudes on a sine road of the amplitude given.",
        "The random road is that of ISO 8608 at the mean of its class, with waves of 0.4 to 50 m.",
    ),
)  # fmt: skip

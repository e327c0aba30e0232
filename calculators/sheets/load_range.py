"""Load range: the same spring and damper empty and loaded, and the trailer as a whole."""

from __future__ import annotations

from math import isfinite, pi, sqrt
from typing import TYPE_CHECKING

from calculators.chart import Axis, Chart, Curve, Drawing, Point, grid
from calculators.errors import ConflictError
from calculators.physics import air_spring, corner, load_range, oscillator, trailer
from calculators.physics.air import GRAVITY
from calculators.physics.gas import P_ATM
from calculators.sheet import Column, Level, Measure, Sheet
from calculators.sheets._load_form import INPUTS, OUTPUTS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from calculators.physics.load_range import LoadState
    from calculators.physics.trailer import Mode
    from calculators.sheet import Given, Result, Working

__all__ = ["SHEET"]

_LEAST, _MOST = 0.2, 0.5  # damping ratios, common practice
_CLOSE = 1.2  # ratio of two frequencies, our choice
_UNCOUPLED = 1e-6  # below it a body bounces and pitches apart
_FAR = 100.0  # m, a still place further off is none
_COLUMNS = (
    Column("Sprung mass", "m", "mass", "kg"),
    Column("Wheel rate", "k", "stiffness", "N/mm"),
    Column("Damping at the wheel", "c", "damping", "N·s/m"),
    Column("Body frequency", "f", "frequency", "Hz"),
    Column("Damping ratio", "zeta", "ratio", "1"),
)


def _states(given: Given, masses: tuple[float, ...]) -> tuple[LoadState, ...]:
    if given.choice("spring") == "air":
        return load_range.air_load_range(
            sprung_masses=masses, effective_area=given["effective_area"], volume=given["volume"],
            damper_damping=given["damping"], motion_ratio=given["spring_ratio"],
            motion_ratio_damper=given["damper_ratio"], polytropic_exponent=given["exponent"],
        )  # fmt: skip
    at_wheel = corner.wheel_damping(
        damper_damping=given["damping"], motion_ratio=given["damper_ratio"]
    )
    if given.choice("spring") == "leaf":
        return load_range.leaf_load_range(
            sprung_masses=masses, wheel_rate=given["wheel_rate"], wheel_damping=at_wheel,
            friction_share=given["friction_share"], amplitude=given["amplitude"],
        )  # fmt: skip
    return load_range.coil_load_range(
        sprung_masses=masses, wheel_rate=given["wheel_rate"], wheel_damping=at_wheel
    )


def _show_load(given: Given, work: Working, words: str, mark: str, state: LoadState) -> None:
    """Record rate, frequency and damping ratio at one load."""
    mass, rate = f"m_{mark}", f"k_{mark}"
    if state.pressure is not None:
        source = load_range.air_load_range
        work.step(f"Gauge pressure, {words}", f"p_{mark} = {mass}*9.80665/(MR_s*A_e)",
                  state.pressure - P_ATM, quantity="pressure_gauge", unit="bar", source=source)  # fmt: skip
        work.step(
            f"Wheel rate, {words}", f"{rate} = MR_s**2*n*(p_{mark} + 101325)*A_e**2/V",
            state.wheel_rate, quantity="stiffness", unit="N/mm", source=air_spring.air_spring_rate,
        )  # fmt: skip
    else:
        work.step(f"Wheel rate, {words}", f"{rate} = k_w", state.wheel_rate,
                  quantity="stiffness", unit="N/mm", source=load_range.coil_load_range)  # fmt: skip
    work.step(f"Body frequency, {words}", f"f_{mark} = sqrt({rate}/{mass})/(2*pi)", state.frequency,
              quantity="frequency", source=oscillator.natural_frequency)  # fmt: skip
    damping = "c_d*MR_d**2"
    if given.choice("spring") == "leaf":
        work.step(
            f"Friction of the leaves as damping, {words}",
            f"c_f{mark} = 4*mu*{mass}*9.80665/(pi*2*pi*f_{mark}*X)",
            corner.friction_damping(
                friction_force=given["friction_share"] * state.sprung_mass * GRAVITY,
                angular_frequency=2.0 * pi * state.frequency, amplitude=given["amplitude"],
            ),
            quantity="damping", source=corner.friction_damping,
        )  # fmt: skip
        damping += f" + c_f{mark}"
    work.step(f"Damping at the wheel, {words}", f"c_{mark} = {damping}", state.wheel_damping,
              quantity="damping", source=corner.wheel_damping)  # fmt: skip
    work.step(f"Damping ratio, {words}", f"zeta_{mark} = c_{mark}/(2*sqrt({rate}*{mass}))",
              state.damping_ratio, quantity="ratio", source=oscillator.damping_ratio)  # fmt: skip


def _show_body(
    given: Given, work: Working, loaded: LoadState
) -> tuple[float, float, tuple[tuple[float, float], ...]]:
    """Record mass, axle rate and springs of the trailer; return mass, axle rate and axles."""
    h, reach = given["centre_distance"], given["axle_distance"]
    two = given.choice("axles") == "two"
    wheels = work.let("N", 4.0 if two else 2.0, quantity="count")
    rate = work.step(
        "Rate of all its wheels, N of them", "K_a = N*k_l", wheels * loaded.wheel_rate,
        quantity="stiffness", unit="N/mm", source=trailer.pitch_bounce,
    )  # fmt: skip
    mass = work.step(
        "Sprung mass of the whole body, from the moments about the coupling", "m = N*m_l*l/h",
        wheels * loaded.sprung_mass * reach / h, quantity="mass", source=trailer.pitch_bounce,
    )  # fmt: skip
    if not (two and given.choice("link") == "separate"):
        return mass, rate, ((reach, rate),)
    half = 0.5 * given["axle_spacing"]
    if half >= reach:
        message = "The front axle would stand ahead of the coupling. Check both distances."
        raise ConflictError(message, inputs=("axle_spacing", "axle_distance"))
    return mass, rate, ((reach - half, 0.5 * rate), (reach + half, 0.5 * rate))


def _show_trailer(given: Given, work: Working, loaded: LoadState) -> Mapping[str, float | None]:
    """Record both swings of the trailer, its still places and its coupling load."""
    names = ("slow", "fast", "slow_node", "fast_node", "held", "coupling_load", "bounce_share",
             "pitch_share")  # fmt: skip
    outputs: dict[str, float | None] = dict.fromkeys(names)
    if given.choice("axles") == "none":
        return outputs
    mass, rate, axles = _show_body(given, work, loaded)
    h, reach, radius, coupling = (
        given[name] for name in ("centre_distance", "axle_distance", "gyration", "coupling_rate")
    )
    inertia = mass * radius**2
    spread = given["axle_spacing"] ** 2 / 4.0 if len(axles) > 1 else 0.0
    apart = " + K_a*a**2/4" if len(axles) > 1 else ""
    found = trailer.pitch_bounce(
        sprung_mass=mass, pitch_inertia=inertia,
        supports=((h, coupling), *((h - distance, each) for distance, each in axles)),
    )  # fmt: skip
    source = trailer.pitch_bounce
    lift = work.step("All springs, for bounce", "S_0 = k_c + K_a", coupling + rate,
                     quantity="stiffness", unit="N/mm", source=source)  # fmt: skip
    cross = work.step("What couples bounce and pitch", "S_1 = k_c*h + K_a*(h - l)",
                      coupling * h + rate * (h - reach), quantity="force", source=source)  # fmt: skip
    turn = work.step(
        "All springs, for pitch, for each radian", f"S_2 = k_c*h**2 + K_a*(h - l)**2{apart}",
        coupling * h**2 + rate * (h - reach) ** 2 + rate * spread,
        quantity="torque", source=source,
    )  # fmt: skip
    work.step("Bounce alone", "omega_b = sqrt(S_0/m)", sqrt(lift / mass),
              quantity="angular_frequency", source=source)  # fmt: skip
    work.step("Pitch alone", "omega_p = sqrt(S_2/m)/r_g", sqrt(turn / mass) / radius,
              quantity="angular_frequency", source=source)  # fmt: skip
    work.step("Coupling of the two", "kappa = S_1/sqrt(S_0*S_2)", cross / sqrt(lift * turn),
              quantity="ratio", source=source)  # fmt: skip
    outputs["fast"] = work.step(
        "Faster swing",
        "f_f = sqrt((omega_b**2 + omega_p**2)/2 + "
        "sqrt((omega_b**2 - omega_p**2)**2/4 + (kappa*omega_b*omega_p)**2))/(2*pi)",
        found.fast.frequency, quantity="frequency", source=source,
    )  # fmt: skip
    outputs["slow"] = work.step(
        "Slower swing", "f_s = omega_b*omega_p*sqrt(1 - kappa**2)/(4*pi**2*f_f)",
        found.slow.frequency, quantity="frequency", source=source,
    )  # fmt: skip
    if abs(found.coupling) > _UNCOUPLED:
        for name, mark, mode in (("slow_node", "s", found.slow), ("fast_node", "f", found.fast)):
            outputs[name] = _show_node(work, mark, mode)
    outputs["held"] = work.step(
        "With the coupling held still",
        f"f_h = sqrt(K_a*({'l**2 + a**2/4' if apart else 'l**2'})/(m*(r_g**2 + h**2)))/(2*pi)",
        trailer.coupled_frequency(
            sprung_mass=mass, pitch_inertia=inertia, coupling_distance=h, axles=axles
        ),
        quantity="frequency", source=trailer.coupled_frequency,
    )  # fmt: skip
    outputs["coupling_load"] = work.step(
        "Load on the coupling", "F_c = m*9.80665*(1 - h/l)", mass * GRAVITY * (1.0 - h / reach),
        quantity="force", source=source,
    )  # fmt: skip
    if given.choice("axles") == "two":
        shares = trailer.wheelbase_filter(
            wheelbase=given["axle_spacing"], wavelength=given["wavelength"]
        )
        outputs["bounce_share"] = work.step(
            "Share of the waves that lifts", "S_b = abs(cos(pi*a/lambda_w))", shares.bounce,
            quantity="percent", unit="%", source=trailer.wheelbase_filter,
        )  # fmt: skip
        outputs["pitch_share"] = work.step(
            "Share of the waves that turns", "S_p = abs(sin(pi*a/lambda_w))", shares.pitch,
            quantity="percent", unit="%", source=trailer.wheelbase_filter,
        )  # fmt: skip
    _judge_trailer(given, work, outputs)
    return outputs


def _show_node(work: Working, mark: str, mode: Mode) -> float | None:
    if not isfinite(mode.node) or abs(mode.node) > _FAR:
        return None
    return work.step(
        f"Still place of the {'slower' if mark == 's' else 'faster'} swing",
        f"x_{mark} = kappa*omega_b*omega_p*r_g/(omega_b**2 - (2*pi*f_{mark})**2)", mode.node,
        quantity="length", source=trailer.pitch_bounce,
    )  # fmt: skip


def _calculate(given: Given, work: Working) -> Mapping[str, float | None]:
    if given["mass_empty"] >= given["mass_loaded"]:
        message = "The empty mass must be below the loaded one."
        raise ConflictError(message, inputs=("mass_empty", "mass_loaded"))
    empty, loaded = _states(given, (given["mass_empty"], given["mass_loaded"]))
    _show_load(given, work, "empty", "e", empty)
    _show_load(given, work, "loaded", "l", loaded)
    _judge(given, work, empty, loaded)
    whole = _show_trailer(given, work, loaded)
    masses = grid(given["mass_empty"], given["mass_loaded"], 6)
    work.table(
        "load", "Over the load", _COLUMNS,
        tuple((one.sprung_mass, one.wheel_rate, one.wheel_damping, one.frequency,
               one.damping_ratio) for one in _states(given, masses)),
    )  # fmt: skip
    air = empty.pressure is not None and loaded.pressure is not None
    return {
        "frequency_empty": empty.frequency,
        "frequency_loaded": loaded.frequency,
        "ratio_empty": empty.damping_ratio,
        "ratio_loaded": loaded.damping_ratio,
        "rate_empty": empty.wheel_rate,
        "rate_loaded": loaded.wheel_rate,
        "damping_empty": empty.wheel_damping,
        "damping_loaded": loaded.wheel_damping,
        "pressure_empty": (empty.pressure or 0.0) - P_ATM if air else None,
        "pressure_loaded": (loaded.pressure or 0.0) - P_ATM if air else None,
        **whole,
    }


def _judge(given: Given, work: Working, empty: LoadState, loaded: LoadState) -> None:
    words = {"loss": Measure(1.0 - loaded.damping_ratio / empty.damping_ratio
                             if empty.damping_ratio > 0.0 else 0.0, "percent", "%")}  # fmt: skip
    if loaded.damping_ratio < _LEAST:
        work.finding(
            Level.LOOK_CLOSER,
            "Loaded, the damping ratio is {ratio_loaded}; below 0.2 the body swings long (common "
            "practice). Load takes {loss} of it away: choose the damper for the loaded vehicle.",
            **words,
        )
    elif empty.damping_ratio > _MOST:
        work.finding(
            Level.LOOK_CLOSER,
            "Empty, the damping ratio is {ratio_empty}; above 0.5 an empty vehicle rides hard and "
            "its wheels leave the ground sooner (common practice).",
        )
    else:
        work.finding(
            Level.FINE,
            "From empty to loaded the damping ratio falls from {ratio_empty} to {ratio_loaded}, the "
            "frequency goes from {frequency_empty} to {frequency_loaded}.",
        )
    if given.choice("spring") == "leaf":
        work.finding(
            Level.LOOK_CLOSER,
            "The friction holds for {amplitude} alone: at half of it the leaves damp twice as much, "
            "and below a certain amplitude they don't slide at all.",
        )


def _judge_trailer(given: Given, work: Working, found: Mapping[str, float | None]) -> None:
    slow, fast = found["slow"] or 0.0, found["fast"] or 0.0
    if (found["coupling_load"] or 0.0) < 0.0:
        work.finding(
            Level.DO_NOT_BUILD,
            "The centre of mass stands behind the axle: the coupling is lifted, and such a trailer "
            "sways. Load it further forward.",
        )
    if fast < _CLOSE * slow:
        work.finding(
            Level.LOOK_CLOSER,
            "The two swings, {slow} and {fast}, lie close together: bounce passes into pitch and "
            "back while the trailer runs on.",
        )
    else:
        work.finding(Level.FINE, "Loaded, the trailer swings at {slow} and at {fast}.")
    if given.choice("axles") != "two":
        return
    if given.choice("link") == "rocker":
        work.finding(
            Level.FINE,
            "The rocker evens out what both axles take in opposite ways: of these waves "
            "{bounce_share} reaches the body as bounce, and nothing as pitch.",
        )
    elif (found["pitch_share"] or 0.0) > (found["bounce_share"] or 0.0):
        work.finding(
            Level.FINE,
            "On waves of {wavelength} the axles work more against each other ({pitch_share}) than "
            "together ({bounce_share}): near an anti-resonance of bounce.",
        )
    else:
        work.finding(
            Level.LOOK_CLOSER,
            "On waves of {wavelength} both axles move together for {bounce_share}: there is no "
            "anti-resonance to help, at any speed.",
        )


def _draw(result: Result, name: str) -> Drawing:
    given = result.given
    masses = grid(given["mass_empty"], given["mass_loaded"], 41)
    values = tuple(getattr(one, name) for one in _states(given, masses))
    return Drawing(
        (Curve("this spring", "accent", masses, values),),
        (Point("empty", masses[0], values[0]), Point("loaded", masses[-1], values[-1])),
    )


SHEET = Sheet(
    name="load-range",
    title="Load range",
    question="How do frequency and damping change with the load, and how does the trailer swing?",
    page="calculate/load-range.md",
    inputs=INPUTS,
    outputs=OUTPUTS,
    calculate=_calculate,
    charts=(
        Chart(
            name="frequency", title="Body frequency over the load",
            statement="On steel springs load makes the body slower; an air spring of constant "
                      "height grows stiffer with it and hardly changes its frequency.",
            x=Axis("Sprung mass at this wheel", "mass", "kg", like="mass_loaded"),
            y=Axis("Body frequency", "frequency", "Hz", like="frequency_loaded"),
            draw=lambda result: _draw(result, "frequency"),
        ),
        Chart(
            name="ratio", title="Damping ratio over the load",
            statement="The same damper is firm on the empty vehicle and soft on the loaded one.",
            x=Axis("Sprung mass at this wheel", "mass", "kg", like="mass_loaded"),
            y=Axis("Damping ratio", "ratio", "1", like="ratio_loaded"),
            draw=lambda result: _draw(result, "damping_ratio"),
        ),
    ),
    limits=(
        "Straight-line springs, constant motion ratios, rigid tyre, mean damping of both directions.",
        "Friction of leaves by equal energy in a cycle, at the amplitude entered.",
        "Air spring with constant effective area and height; its wall has no stiffness of its own.",
        "The trailer as a rigid body with all wheels alike, small motion, without damping.",
    ),
)  # fmt: skip

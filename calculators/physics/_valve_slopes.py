"""How the pressure drop of a valve answers to each of its sizes, for the sizing fit.

The slopes are those of the equations in valve.py, differentiated where they hold, so
that a fit can tell its minimum from rounding.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, NamedTuple

from calculators.physics._valve_disc import disc_path, opening_at_flow, shut_drop, valve_terms

if TYPE_CHECKING:
    from calculators.physics.fluid import Oil
    from calculators.physics.valve import Valve

__all__ = ["DropSlopes", "drop_and_slopes"]


class DropSlopes(NamedTuple):
    """∂ ln Δp / ∂ ln size at one flow, for each size that a fit may change."""

    bleed_area: float
    crack_pressure: float
    compliance: float
    port_area: float


def drop_and_slopes(valve: Valve, flow: float, oil: Oil) -> tuple[float, DropSlopes]:
    """Return the pressure drop of a valve with a bleed at a flow > 0, and its slopes.

    Q_bleed(Δp) + G Δp / μ + Q_disc(o) = Q,  Δp = p_crack + o + Δp_port(Q_disc)

    K falls with the area squared, L with its power 1.5.
    """
    terms = valve_terms(valve, oil)
    drop = shut_drop(flow, terms)
    shut = drop <= valve.crack_pressure or not valve.opens
    over = 0.0
    if not shut:
        over = opening_at_flow(valve, flow, terms, drop)
        disc_flow, flow_over, above, drop_over = disc_path(over, valve, terms)
        drop = valve.crack_pressure + above
    root = sqrt(terms.bleed_l**2 + 4.0 * terms.bleed_k * drop)
    bleed_flow = 2.0 * drop / (terms.bleed_l + root)
    beside = 1.0 / root + terms.leak  # ∂(bleed and leak) / ∂Δp
    wider = (2.0 * terms.bleed_k * bleed_flow + 1.5 * terms.bleed_l) * bleed_flow / root
    if shut:
        return drop, DropSlopes(-wider / (beside * drop), 0.0, 0.0, 0.0)

    # load x y² under the disc, its flow, and the drop: each to crack pressure and compliance
    pressed = valve.crack_pressure + over
    lift = min(valve.compliance * over, valve.max_lift)
    curtain = sqrt(terms.curtain_l**2 + 4.0 * terms.curtain_k * pressed * lift * lift)
    flow_crack = valve.crack_pressure * lift * lift / curtain
    flow_soft = 2.0 * pressed * lift * lift / curtain if lift < valve.max_lift else 0.0
    steep = 2.0 * terms.port_k * disc_flow + terms.port_l
    drop_crack = valve.crack_pressure + steep * flow_crack
    drop_soft = steep * flow_soft
    drop_port = -(2.0 * terms.port_k * disc_flow + 1.5 * terms.port_l) * disc_flow
    balance = flow_over + beside * drop_over

    def slope(flow_size: float, drop_size: float) -> float:
        """Return the slope with `over` moved so that the flows still add up."""
        moved = -(flow_size + beside * drop_size) / balance
        return (drop_size + drop_over * moved) / drop

    return drop, DropSlopes(
        slope(wider, 0.0),
        slope(flow_crack, drop_crack),
        slope(flow_soft, drop_soft),
        slope(0.0, drop_port),
    )

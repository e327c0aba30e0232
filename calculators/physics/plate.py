"""Ring-shaped plates, held inside and free outside, under loads that go all the way round.

The plate may have steps of bending rigidity. Each ring between two radii where
rigidity or load changes has a closed solution of the plate equation; the rings
are joined by equal deflection, slope and radial moment, so nothing is meshed.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, log, pi, sqrt
from typing import TYPE_CHECKING

from calculators.errors import ConflictError, require_above, require_between, require_finite

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

__all__ = ["PlateRing", "PlateSolution", "PlateState", "flexural_rigidity", "solve_plate"]


@dataclass(frozen=True, slots=True)
class PlateState:
    """The plate at one radius; moments are per metre of circumference.

    At a radius where the rigidity steps, the tangential moment is that of the inner side.

    Attributes
    ----------
    radius : float
        r, where this is [m], > 0.
    deflection : float
        w, positive in the direction of a positive load [m], finite.
    slope : float
        θ = dw/dr [rad], finite.
    radial_moment : float
        M_r = D (θ' + ν θ/r), positive where it bends the way a load bends [N], finite.
    tangential_moment : float
        M_t = D (θ/r + ν θ') [N], finite.
    """

    radius: float
    deflection: float
    slope: float
    radial_moment: float
    tangential_moment: float


@dataclass(frozen=True, slots=True)
class PlateRing:
    """The highest moments within one ring of equal rigidity, as absolute values.

    Attributes
    ----------
    outer_radius : float
        Where the ring ends [m], > 0.
    rigidity : float
        D, its bending rigidity [N·m], > 0.
    peak_radial_moment : float
        Largest absolute radial moment per metre [N], ≥ 0.
    peak_radial_moment_radius : float
        Where that is [m], > 0.
    peak_tangential_moment : float
        Largest absolute tangential moment per metre [N], ≥ 0.
    """

    outer_radius: float
    rigidity: float
    peak_radial_moment: float
    peak_radial_moment_radius: float
    peak_tangential_moment: float


@dataclass(frozen=True, slots=True)
class PlateSolution:
    """What the clamp feels, how the edge moves, and the state at the radii asked for.

    Attributes
    ----------
    clamp_force : float
        Sum of all loads, carried by the clamp [N], finite.
    clamp_moment : float
        Radial moment per metre at the clamp [N], finite.
    edge_deflection : float
        Deflection of the outer edge [m], finite.
    edge_slope : float
        Slope at the outer edge [rad], finite.
    rings : tuple of PlateRing
        One for each rigidity, from the clamp outwards.
    stations : tuple of PlateState
        One for each radius asked for, in that order.
    """

    clamp_force: float
    clamp_moment: float
    edge_deflection: float
    edge_slope: float
    rings: tuple[PlateRing, ...]
    stations: tuple[PlateState, ...]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A ring without any change of rigidity or load, with its constants of integration.

    θ/r = -(G/2D)(ln(r/a) - 1/2) + p r²/(16 D) + x + y (a/r)²,   a = inner radius.
    """

    inner: float
    outer: float
    rigidity: float
    pressure: float
    shear: float  # G: load outside r, over 2π, plus p r²/2: constant over the piece
    x: float = 0.0
    y: float = 0.0
    start: float = 0.0  # deflection at the inner radius

    def curvatures(self, radius: float) -> tuple[float, float]:
        """Return θ' and θ/r."""
        log_part = self.shear / (2.0 * self.rigidity)
        load_part = self.pressure * radius * radius / (16.0 * self.rigidity)
        logarithm = log(radius / self.inner)
        bent = self.y * (self.inner / radius) ** 2
        radial = -log_part * (logarithm + 0.5) + 3.0 * load_part + self.x - bent
        tangential = -log_part * (logarithm - 0.5) + load_part + self.x + bent
        return radial, tangential

    def moments(self, radius: float, poisson_ratio: float) -> tuple[float, float]:
        """Return the radial and tangential moment per metre."""
        radial, tangential = self.curvatures(radius)
        return (
            self.rigidity * (radial + poisson_ratio * tangential),
            self.rigidity * (tangential + poisson_ratio * radial),
        )

    def deflection(self, radius: float) -> float:
        """Return w."""
        return self.start + self._integral(radius) - self._integral(self.inner)

    def _integral(self, radius: float) -> float:
        squared = radius * radius
        logarithm = log(radius / self.inner)
        return (
            -self.shear / (4.0 * self.rigidity) * squared * (logarithm - 1.0)
            + self.pressure * squared * squared / (64.0 * self.rigidity)
            + self.x * squared / 2.0
            + self.y * self.inner * self.inner * logarithm
        )

    def joined(
        self, slope: float, moment: float, deflection: float, poisson_ratio: float
    ) -> _Piece:
        """Return the piece whose inner edge has this slope, radial moment and deflection."""
        radial, tangential = self.curvatures(self.inner)
        curvature = slope / self.inner - tangential
        bending = moment / self.rigidity - radial - poisson_ratio * tangential
        x = 0.5 * (bending + (1.0 - poisson_ratio) * curvature)
        return _Piece(
            self.inner,
            self.outer,
            self.rigidity,
            self.pressure,
            self.shear,
            x=x,
            y=curvature - x,
            start=deflection,
        )

    def unloaded(self) -> _Piece:
        """Return the same piece with neither pressure nor shear."""
        return _Piece(self.inner, self.outer, self.rigidity, pressure=0.0, shear=0.0)

    def turning_radii(self, poisson_ratio: float) -> Iterator[float]:
        """Yield the radii inside the piece where a moment is stationary (roots for r²)."""
        bent = 2.0 * self.rigidity * (1.0 - poisson_ratio) * self.y * self.inner * self.inner
        b = -0.5 * self.shear * (1.0 + poisson_ratio)
        for a, c in (
            (self.pressure * (3.0 + poisson_ratio) / 8.0, bent),
            (self.pressure * (1.0 + 3.0 * poisson_ratio) / 8.0, -bent),
        ):
            for squared in _roots(a, b, c):
                if self.inner**2 < squared < self.outer**2:
                    yield sqrt(squared)


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Return the real roots of a u² + b u + c = 0 without loss of digits."""
    discriminant = b * b - 4.0 * a * c
    if discriminant < 0.0:
        return ()
    half = -0.5 * (b + (sqrt(discriminant) if b >= 0.0 else -sqrt(discriminant)))
    quotients = ((half, a), (c, half))
    return tuple(top / bottom for top, bottom in quotients if bottom and isfinite(top / bottom))


def flexural_rigidity(*, youngs_modulus: float, poisson_ratio: float, thickness: float) -> float:
    """Return how strongly a flat plate resists being bent.

    D = E t³ / (12 (1 - ν²))

    It is the E I of a strip one metre wide that cannot narrow sideways. Twice the
    thickness is eight times the rigidity.

    Parameters
    ----------
    youngs_modulus : float
        E, modulus of elasticity [Pa], > 0.
    poisson_ratio : float
        ν, sideways contraction over stretch [1], 0 to 0.5.
    thickness : float
        t, thickness [m], > 0.

    Returns
    -------
    float
        D, flexural rigidity [N·m], > 0.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Limits: one material, the same in all directions, and thin against its width.

    References
    ----------
    book: S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, eq. (3)
        (equation number: value from memory).

    Examples
    --------
    By hand: 210 GPa, ν = 0.3, 0.2 mm: 210e9 · 8e-12 / (12 · 0.91) = 1.68 / 10.92.

    >>> round(flexural_rigidity(youngs_modulus=210e9, poisson_ratio=0.3, thickness=0.2e-3), 6)
    0.153846
    """
    require_above(0.0, youngs_modulus, "Modulus of elasticity", "Pa", "Steel has about 210 GPa.")
    require_between(0.0, 0.5, poisson_ratio, "Poisson's ratio", "", "Steel has about 0.3.")
    require_above(0.0, thickness, "Thickness", "m", "Give the thickness of one plate.")
    return youngs_modulus * thickness**3 / (12.0 * (1.0 - poisson_ratio**2))


def solve_plate(
    *,
    inner_radius: float,
    outer_radii: Sequence[float],
    rigidities: Sequence[float],
    poisson_ratio: float,
    band_inner_radii: Sequence[float] = (),
    band_outer_radii: Sequence[float] = (),
    band_pressures: Sequence[float] = (),
    ring_radii: Sequence[float] = (),
    ring_forces: Sequence[float] = (),
    stations: Sequence[float] = (),
) -> PlateSolution:
    """Return deflection and moments of a stepped ring plate, clamped inside, free outside.

    d/dr[(1/r) d(r θ)/dr] = -F(r) / (2 π r D),   θ = dw/dr

    F(r) is the load outside the radius r. Between two changes of rigidity or load
    this integrates to r, r ln r, r³ and 1/r; the constants follow from θ = w = 0 at
    the clamp, M_r = 0 at the edge, and w, θ, M_r equal on both sides of each joint.

    Parameters
    ----------
    inner_radius : float
        a, where the plate is clamped [m], > 0.
    outer_radii : sequence of float
        Where each ring of equal rigidity ends, rising; the last is the edge [m], > inner_radius.
    rigidities : sequence of float
        D of each ring, from the clamp outwards [N·m], > 0.
    poisson_ratio : float
        ν [1], 0 to 0.5.
    band_inner_radii : sequence of float
        Where each band of pressure begins [m], ≥ inner_radius.
    band_outer_radii : sequence of float
        Where each band of pressure ends [m], up to the edge.
    band_pressures : sequence of float
        Pressure difference across the plate in each band; bands may overlap [Pa], finite.
    ring_radii : sequence of float
        Where a line load goes round [m], above inner_radius, up to the edge.
    ring_forces : sequence of float
        The whole force of each line load [N], finite.
    stations : sequence of float
        Radii to report [m], between inner_radius and the edge.

    Returns
    -------
    PlateSolution
        Clamp load, edge movement, peak moments and states [various units], finite.

    Raises
    ------
    OutOfRangeError
        If a single value is outside its range.
    ConflictError
        If lists differ in length, radii do not rise, or a load or station is off the plate.

    Notes
    -----
    Limits: small deflection (below about half the thickness, common practice for plates
    that stretch when bent), thin plate without shear deformation, linear material, loads
    and supports equal all round, a clamp that neither tilts nor slips.

    References
    ----------
    book: S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, ch. 3,
        symmetrical bending of circular plates (chapter: value from memory).
    derivation: the constants of each ring from continuity of w, θ and M_r.

    Examples
    --------
    The clamp carries the whole load: 1 MPa over radii 10 to 15 mm is 392.699 N.

    >>> solution = solve_plate(
    ...     inner_radius=0.005, outer_radii=(0.02,), rigidities=(0.15,), poisson_ratio=0.3,
    ...     band_inner_radii=(0.01,), band_outer_radii=(0.015,), band_pressures=(1e6,),
    ... )
    >>> round(solution.clamp_force, 3)
    392.699
    """
    edge = _check_plate(inner_radius, outer_radii, rigidities, poisson_ratio)
    _check_loads(
        (inner_radius, edge), (band_inner_radii, band_outer_radii, band_pressures),
        (ring_radii, ring_forces),
    )  # fmt: skip
    for radius in stations:
        if not inner_radius <= radius <= edge:
            message = f"Station {radius:g} m is off the plate ({inner_radius:g} to {edge:g} m)."
            raise ConflictError(message, inputs=("stations",))

    bands = tuple(zip(band_inner_radii, band_outer_radii, band_pressures, strict=True))
    rings = tuple(zip(ring_radii, ring_forces, strict=True))
    steps = tuple(zip(outer_radii, rigidities, strict=True))
    bare = _pieces(inner_radius, steps, bands, rings)

    unloaded = tuple(piece.unloaded() for piece in bare)
    end_loaded = _chain(bare, 0.0, poisson_ratio)[-1].moments(edge, poisson_ratio)[0]
    end_per_moment = _chain(unloaded, 1.0, poisson_ratio)[-1].moments(edge, poisson_ratio)[0]
    clamp_moment = -end_loaded / end_per_moment
    pieces = _chain(bare, clamp_moment, poisson_ratio)

    return PlateSolution(
        clamp_force=sum(force for _, force in rings)
        + sum(pi * (outer**2 - inner**2) * pressure for inner, outer, pressure in bands),
        clamp_moment=clamp_moment,
        edge_deflection=pieces[-1].deflection(edge),
        edge_slope=pieces[-1].curvatures(edge)[1] * edge,
        rings=_peaks(inner_radius, steps, pieces, poisson_ratio),
        stations=tuple(_state(pieces, radius, poisson_ratio) for radius in stations),
    )


def _check_plate(
    inner_radius: float,
    outer_radii: Sequence[float],
    rigidities: Sequence[float],
    poisson_ratio: float,
) -> float:
    """Check the plate itself and return the radius of its edge."""
    require_above(0.0, inner_radius, "Clamp radius", "m", "A solid plate has no clamp inside.")
    require_between(0.0, 0.5, poisson_ratio, "Poisson's ratio", "", "Steel has about 0.3.")
    if not outer_radii or len(outer_radii) != len(rigidities):
        message = "Each ring of the plate needs one outer radius and one rigidity."
        raise ConflictError(message, inputs=("outer_radii", "rigidities"))
    for rigidity in rigidities:
        require_above(0.0, rigidity, "Rigidity", "N·m", "Each ring must resist bending.")
    for inner, outer in pairwise((inner_radius, *outer_radii)):
        require_above(inner, outer, "Outer radius", "m", "List the rings from the clamp outwards.")
    return outer_radii[-1]


def _check_loads(
    limits: tuple[float, float],
    bands: tuple[Sequence[float], Sequence[float], Sequence[float]],
    rings: tuple[Sequence[float], Sequence[float]],
) -> None:
    """Refuse loads that are off the plate."""
    if len({len(part) for part in bands}) != 1 or len({len(part) for part in rings}) != 1:
        message = "Each load needs its place and its size: the lists of one kind differ in length."
        raise ConflictError(message, inputs=("band_pressures", "ring_forces"))
    low, high = limits
    for inner, outer, pressure in zip(*bands, strict=True):
        require_finite(pressure, "Pressure", "Pa", "Give the pressure difference across the plate.")
        if not low <= inner < outer <= high:
            message = (
                f"The pressure band {inner:g} to {outer:g} m is not on the plate, "
                f"which is free from {low:g} to {high:g} m."
            )
            raise ConflictError(message, inputs=("band_inner_radii", "band_outer_radii"))
    for radius, force in zip(*rings, strict=True):
        require_finite(force, "Ring load", "N", "Give the whole force of the ring.")
        if not low < radius <= high:
            message = (
                f"The ring load at {radius:g} m is not on the plate, "
                f"which is free above {low:g} and up to {high:g} m."
            )
            raise ConflictError(message, inputs=("ring_radii",))


def _pieces(
    inner_radius: float,
    steps: Sequence[tuple[float, float]],
    bands: Sequence[tuple[float, float, float]],
    rings: Sequence[tuple[float, float]],
) -> tuple[_Piece, ...]:
    """Cut the plate where rigidity or load changes; add up the load from the edge inwards."""
    cuts = {inner_radius}
    cuts.update(outer for outer, _ in steps)
    cuts.update(radius for radius, _ in rings)
    cuts.update(radius for band in bands for radius in band[:2])
    outside = 0.0
    pieces = []
    for outer, inner in pairwise(sorted(cuts, reverse=True)):
        outside += sum(force for radius, force in rings if radius == outer)
        pressure = sum(p for start, end, p in bands if start <= inner and outer <= end)
        rigidity = next(rigidity for end, rigidity in steps if outer <= end)
        shear = outside / (2.0 * pi) + pressure * outer**2 / 2.0
        pieces.append(_Piece(inner, outer, rigidity, pressure, shear))
        outside += pi * pressure * (outer**2 - inner**2)
    return tuple(reversed(pieces))


def _chain(
    pieces: Sequence[_Piece], clamp_moment: float, poisson_ratio: float
) -> tuple[_Piece, ...]:
    """Join the bare pieces (x = y = 0) from the clamp outwards, starting flat with this moment."""
    slope, moment, deflection = 0.0, clamp_moment, 0.0
    joined = []
    for bare in pieces:
        piece = bare.joined(slope, moment, deflection, poisson_ratio)
        slope = piece.curvatures(piece.outer)[1] * piece.outer
        moment = piece.moments(piece.outer, poisson_ratio)[0]
        deflection = piece.deflection(piece.outer)
        joined.append(piece)
    return tuple(joined)


def _state(pieces: Sequence[_Piece], radius: float, poisson_ratio: float) -> PlateState:
    piece = next(piece for piece in pieces if radius <= piece.outer)
    radial, tangential = piece.moments(radius, poisson_ratio)
    slope = piece.curvatures(radius)[1] * radius
    return PlateState(radius, piece.deflection(radius), slope, radial, tangential)


def _peaks(
    inner_radius: float,
    steps: Sequence[tuple[float, float]],
    pieces: Sequence[_Piece],
    poisson_ratio: float,
) -> tuple[PlateRing, ...]:
    """Return the largest moments of each ring: they lie at an end or where they turn."""
    rings = []
    start = inner_radius
    for end, rigidity in steps:
        found = [
            (*map(abs, piece.moments(radius, poisson_ratio)), radius)
            for piece in pieces
            if start <= piece.inner and piece.outer <= end
            for radius in (piece.inner, piece.outer, *piece.turning_radii(poisson_ratio))
        ]
        radial = max(found, key=lambda item: item[0])
        tangential = max(item[1] for item in found)
        rings.append(PlateRing(end, rigidity, radial[0], radial[2], tangential))
        start = end
    return tuple(rings)

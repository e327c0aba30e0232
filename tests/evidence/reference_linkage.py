"""Longer reference computations: linkages by rotation matrices, root search and differences."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.optimize import brentq

if TYPE_CHECKING:
    from collections.abc import Sequence

STEP = 2e-3  # m, of the differences


def _rotation(angle: float) -> np.ndarray[Any, Any]:
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])


def _arm_mount(linkage: dict[str, Any], moving: Any, travel: float) -> Any:  # noqa: ANN401
    pivot, wheel = np.array(linkage["pivot"]), np.array(linkage["wheel"])

    def rise(angle: float) -> float:
        return float((_rotation(angle) @ (wheel - pivot) + pivot - wheel)[1] - travel)

    sign = np.sign((wheel - pivot)[0])
    angle = brentq(rise, -1.0 * sign, 1.0 * sign, xtol=1e-14)
    return pivot + _rotation(angle) @ (np.array(moving) - pivot)


def _strut_mount(linkage: dict[str, Any], moving: Any, travel: float) -> Any:  # noqa: ANN401
    pivot, joint, top, wheel = (np.array(linkage[k]) for k in ("pivot", "joint", "top", "wheel"))
    drawn = (top - joint) / np.linalg.norm(top - joint)

    def carrier(angle: float) -> tuple[Any, Any]:
        now = pivot + _rotation(angle) @ (joint - pivot)
        axis = (top - now) / np.linalg.norm(top - now)
        cosine, sine = drawn @ axis, drawn[0] * axis[1] - drawn[1] * axis[0]
        return now, np.array([[cosine, -sine], [sine, cosine]])

    def rise(angle: float) -> float:
        now, turn = carrier(angle)
        return float((now + turn @ (wheel - joint) - wheel)[1] - travel)

    sign = np.sign((joint - pivot)[0])
    now, turn = carrier(brentq(rise, -0.8 * sign, 0.8 * sign, xtol=1e-14))
    return now + turn @ (np.array(moving) - joint)


def _length(linkage: dict[str, Any], moving: Any, fixed: Any, travel: float) -> float:  # noqa: ANN401
    mount = _strut_mount if "joint" in linkage else _arm_mount
    return float(np.linalg.norm(np.array(fixed) - mount(linkage, moving, travel)))


def element(
    linkage: dict[str, Any],
    moving: Sequence[float],
    fixed: Sequence[float],
    travel: float,
    what: str,
) -> float:
    """Return length, motion ratio or its gradient, the last two by five-point differences."""
    lengths = [_length(linkage, moving, fixed, travel + i * STEP) for i in (-2, -1, 0, 1, 2)]
    if what == "length":
        return lengths[2]
    if what == "ratio":
        return float(-np.dot(lengths, [1, -8, 0, 8, -1]) / (12 * STEP))
    return float(-np.dot(lengths, [-1, 16, -30, 16, -1]) / (12 * STEP**2))

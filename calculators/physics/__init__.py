"""Formulas and models of dampers and the vehicle corner, one subject a module.

Plain functions of coherent SI floats, keyword-only, each with its formula, its
valid range and its source. Conventions, once for all modules:

- compression is positive: velocity v = dx/dt counts the rod moving in, and a
  positive damper force resists compression;
- `pressure` is absolute, `pressure_gauge` is gauge;
- a "rod force" is the push of the gas on the rod, positive when it drives the
  rod out;
- the gas charge is stated at full extension and 20 °C.
"""

from __future__ import annotations

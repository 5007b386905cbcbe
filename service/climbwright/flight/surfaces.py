"""What a runway's surface does to wheels, free and braked.

Every number is one that was published, or lies on the long side of what was: a surface that no source names takes the
worse of its neighbours. One standard deviation is the published range over the root of 12, as if every number in it
were equally likely; a surface with one published number takes the range of its neighbour.

References
----------
.. [1] A. Filippone, *Advanced Aircraft Flight Performance*, Cambridge, 2012, table 9.3, and ESDU 85029 (seen).
.. [2] M. H. Sadraey, *Aircraft Design: A Systems Engineering Approach*, Wiley, 2013, table 4.15 (seen).
.. [3] D. P. Raymer, *Aircraft Design: A Conceptual Approach*, AIAA, table 17.1, and J. D. Anderson, *Aircraft
   Performance and Design*, 1999, table 6.1 (pavement seen in a student's program, the rest from memory).
.. [4] Notes to a university's take-off program: braked on a hard dry runway 0.20 to 0.40, 0.30 to 0.35 suggested
   (seen).
.. [5] UK CAA, GM1 CAT.POL.A.335: very short wet grass may be slippery, 60 % more distance (seen).
"""

import math
from dataclasses import dataclass

from climbwright.arrays import Measured

__all__ = ["SURFACES", "Surface"]


@dataclass(frozen=True, slots=True)
class Surface:
    """One kind of runway.

    Parameters
    ----------
    rolling_friction : Measured
        Of free wheels, over what weighs on them. [-]
    braking_friction : Measured
        The same with brakes on as hard as they hold. [-]
    source : str
        Where both come from, and whether it was seen or is from memory.
    """

    rolling_friction: Measured
    braking_friction: Measured
    source: str


def _within(value: float, low: float, high: float) -> Measured:
    """A value with the spread of a published range."""
    return Measured(value, (high - low) / math.sqrt(12.0))


SURFACES = {
    "paved-dry": Surface(
        _within(0.03, 0.02, 0.05),
        _within(0.30, 0.20, 0.50),
        "rolling: 0.02 Filippone (seen), 0.03 to 0.05 Sadraey (seen); braking: 0.30 to 0.50 Raymer (seen), 0.20 to "
        "0.40 with 0.30 suggested in university notes (seen)",
    ),
    "paved-wet": Surface(
        _within(0.05, 0.02, 0.05),
        _within(0.20, 0.15, 0.30),
        "rolling: 0.05 Sadraey (seen), spread of dry pavement; braking: 0.15 to 0.30 Raymer (seen), the lower half",
    ),
    "gravel": Surface(
        _within(0.055, 0.04, 0.07),
        _within(0.25, 0.20, 0.30),
        "rolling: as hard turf, which shares a row with gravel in Filippone (seen); braking: between firm dirt 0.30 "
        "and soft turf 0.20 in Raymer (memory), because loose stones roll",
    ),
    "hard-turf": Surface(
        _within(0.055, 0.04, 0.07),
        _within(0.30, 0.20, 0.50),
        "rolling: 0.04 Filippone (seen), 0.04 to 0.07 Sadraey (seen), the middle; braking: 0.40 Raymer (memory), taken "
        "as no better than dry pavement",
    ),
    "short-dry-grass": Surface(
        _within(0.075, 0.05, 0.10),
        _within(0.25, 0.20, 0.40),
        "rolling: 0.05 Filippone (seen), 0.05 to 0.10 Sadraey (seen), the middle; braking: soft turf 0.20 and hard "
        "turf 0.40 in Raymer (memory), the lower half",
    ),
    "short-wet-grass": Surface(
        _within(0.10, 0.05, 0.10),
        _within(0.15, 0.15, 0.30),
        "rolling: 0.05 to 0.10 Sadraey (seen), the upper end, because 0.08 in Raymer (memory) is hardly above dry "
        "grass; braking: below 0.20 in Raymer (memory), because UK CAA calls it slippery (seen), spread of wet "
        "pavement",
    ),
    "long-grass": Surface(
        _within(0.10, 0.05, 0.10),
        _within(0.25, 0.20, 0.40),
        "rolling: 0.10 Filippone (seen), spread of grass in Sadraey (seen); braking: as short dry grass",
    ),
    "long-wet-grass": Surface(
        _within(0.13, 0.05, 0.13),
        _within(0.20, 0.15, 0.30),
        "rolling: 0.10 of long grass in Filippone (seen), and what water adds to short grass, from 0.05 in Filippone "
        "(seen) to 0.08 in Raymer (memory); braking: 0.20 Raymer (memory), spread of wet pavement",
    ),
    "soft": Surface(
        _within(0.20, 0.10, 0.30),
        _within(0.20, 0.10, 0.30),
        "rolling: 0.10 to 0.30 Filippone and Sadraey (seen), the middle; braking: 0.20 of soft turf in Raymer "
        "(memory), the wheels' sinking in included, same spread",
    ),
}

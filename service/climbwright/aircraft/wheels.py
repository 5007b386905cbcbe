"""What each wheel carries as the aeroplane stands: the weighing turned round.

References
----------
.. [1] J. Roskam, *Airplane Design, Part II*, sec. 9.1, eqs. (9.1) and (9.2): static load on a nosewheel or tailwheel
   and on each main wheel (seen in notes on the book).
"""

from collections.abc import Sequence
from itertools import pairwise

from climbwright.arrays import Floats, Numbers, floats, middle, scalar_if_0d

__all__ = ["abreast", "wheel_loads"]

WIDEST = 0.1  # of the wheelbase: wheels nearer than that stand abreast; a choice of ours


def abreast(arms: Sequence[Numbers]) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """Which wheels stand forward and which aft.

    Parameters
    ----------
    arms : sequence of float, Measured or numpy.ndarray
        Arm of each wheel. [m]

    Returns
    -------
    tuple of tuple of int, or None
        Places of the forward and of the aft wheels in the order given; None where they do not stand at two arms, of
        which alone the loads follow. Left and right wheel may be measured a little apart.
    """
    stand = [middle(arm) for arm in arms]
    order = sorted(range(len(stand)), key=stand.__getitem__)
    if len(order) < 2:
        return None
    gaps = [stand[b] - stand[a] for a, b in pairwise(order)]
    split = 1 + gaps.index(max(gaps))
    forward, aft = order[:split], order[split:]
    apart = max(stand[group[-1]] - stand[group[0]] for group in (forward, aft))
    if not max(gaps) > 0.0 or apart > WIDEST * (stand[order[-1]] - stand[order[0]]):
        return None
    return tuple(forward), tuple(aft)


def wheel_loads(mass: Numbers, arm: Numbers, wheels: Sequence[Numbers]) -> list[Floats]:
    """Mass that each wheel carries, as a scale under it would read. [kg]

    Parameters
    ----------
    mass, arm : array_like
        Mass [kg] and arm [m] of the aeroplane, in the attitude in which the arms were measured.
    wheels : sequence of array_like
        Arm of each wheel. [m]

    Returns
    -------
    list of numpy.float64 or numpy.ndarray
        In the order given; wheels abreast share equally. Negative where the aeroplane would tip.

    Raises
    ------
    ValueError
        The wheels do not stand at two arms.

    Examples
    --------
    >>> [round(float(load)) for load in wheel_loads(2006.0, -13.22, [-78.0, 0.0, 0.0])]
    [340, 833, 833]
    """
    groups = abreast(wheels)
    if groups is None:
        raise ValueError("wheels must stand at two arms")
    m, x, *stand = floats(mass, arm, *wheels)
    fore, rear = (sum(stand[i] for i in group) / len(group) for group in groups)
    on_rear = m * (x - fore) / (rear - fore)  # [1]
    shares = (((m - on_rear) / len(groups[0])), (on_rear / len(groups[1])))
    return [scalar_if_0d(shares[0] if i in groups[0] else shares[1]) for i in range(len(stand))]

r"""What each change bought: exact shares of every measure among the changes of an option.

With n changes there are 2^n aeroplanes, from none of the changes made to all of them. A change's share is what it adds
to a measure, averaged over all orders in which the changes could be made [1]_; the shares add up to the whole change.
Changes of one group are made together and have one share.

References
----------
.. [1] L. S. Shapley, "A value for n-person games", *Contributions to the Theory of Games* II, Princeton, 1953 (from
   memory): the weight of a set of s changes made before is s! (n - 1 - s)! / n!.
"""

import math
from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from climbwright.aircraft.changes import Change, EngineChange, PropellerChange, apply
from climbwright.aircraft.description import Aircraft
from climbwright.arrays import Floats
from climbwright.refusal import Refusal

__all__ = ["MOST_SHARED", "players_of", "refuse_too_many", "share_weights", "shared", "subsets_of"]

_MOST_EVALUATED = 10_000  # aeroplanes with some of the changes, times loadings and conditions: seconds, and memory
MOST_SHARED = 8  # changes, or groups of them: 256 aeroplanes


def players_of(changes: Sequence[Change], where: str) -> dict[str, list[int]]:
    """Places of the changes by what has a share: a group's name, or a change's own.

    Parameters
    ----------
    changes : sequence of Change
        Of one option.
    where : str
        JSON Pointer of the list.

    Returns
    -------
    dict of str to list of int
        In the order in which they first appear.

    Raises
    ------
    Refusal
        There are too many, or a group has the name of a change outside it.
    """
    players: dict[str, list[int]] = {}
    for i, change in enumerate(changes):
        players.setdefault(change.name if change.group is None else change.group, []).append(i)
    if len(players) > MOST_SHARED:
        message = f"shares are told among at most {MOST_SHARED} changes: put some into one group"
        raise Refusal(where, message)
    for name, places in players.items():
        if len({changes[i].group for i in places}) > 1:
            raise Refusal(f"{where}/{places[-1]}/group", f"'{name}' names a change and a group: rename one of them")
    return players


@cache
def share_weights(count: int) -> NDArray[np.float64]:
    """Weights by which values of all aeroplanes become shares.

    Parameters
    ----------
    count : int
        How many changes, n.

    Returns
    -------
    numpy.ndarray, shape (n, 2**n)
        Bit k of a column's number says whether change k is made; each row adds up to nothing. [-]
    """
    weights = np.zeros((count, 2**count))
    for made in range(2**count):
        size = made.bit_count()
        for k in range(count):
            if made >> k & 1:
                weights[k, made] = math.factorial(size - 1) * math.factorial(count - size)
            else:
                weights[k, made] = -math.factorial(size) * math.factorial(count - size - 1)
    return weights / math.factorial(count)  # [1]


def subsets_of(
    base: Aircraft, changes: Sequence[Change], alone: Change | None, players: Sequence[Sequence[int]], where: str
) -> list[Aircraft]:
    """The aeroplanes with some of the changes made, in the order of `share_weights`, without the first and the last.

    Parameters
    ----------
    base : Aircraft
        With its propulsion settled.
    changes : sequence of Change
        Completed.
    alone : Change, optional
        The engine change as it is where the propeller's is not made.
    players : sequence of sequence of int
        Places of the changes of each share.
    where : str
        JSON Pointer of the list of changes.

    Raises
    ------
    Refusal
        An aeroplane with some of the changes cannot be.
    """
    found = []
    for made in range(1, 2 ** len(players) - 1):
        places = sorted(place for k, own in enumerate(players) if made >> k & 1 for place in own)
        some = [changes[place] for place in places]
        if alone is not None and not any(isinstance(change, PropellerChange) for change in some):
            some = [alone if isinstance(change, EngineChange) else change for change in some]
        try:
            found.append(apply(base, some, where))
        except Refusal as refusal:
            left = ", ".join(changes[place].name for place in places)
            raise Refusal(
                where, f"with only {left} made, {refusal.message}; changes that lean on each other need one group"
            ) from None
    return found


def refuse_too_many(aeroplanes: int, scenes: int) -> None:
    """More aeroplanes with some of the changes than can be evaluated at once.

    Raises
    ------
    Refusal
        Says how many there are.
    """
    if aeroplanes * scenes > _MOST_EVALUATED:
        raise Refusal(
            "/shares",
            f"{aeroplanes} aeroplanes with some of the changes in {scenes} loadings and conditions are too many: "
            "send fewer options, loadings or conditions, or put changes into groups",
        )


def shared(none: Floats, some: Floats, everything: Floats, count: int) -> Floats:
    """Shares of each change.

    Parameters
    ----------
    none, everything : numpy.ndarray, shape (..., 1, loadings, conditions)
        A measure with none of the changes made, and with all.
    some : numpy.ndarray, shape (..., 2**count - 2, loadings, conditions)
        With some of them, in the order of `subsets_of`.
    count : int
        How many changes.

    Returns
    -------
    numpy.ndarray, shape (..., count, loadings, conditions)
        They add up to the whole change; nan where the measure does not exist for one of the aeroplanes.
    """
    values = np.concatenate([none, some, everything], axis=-3)
    return np.einsum("km,...mij->...kij", share_weights(count), values)

"""Tags that change places until no two threads cross.

Two threads that cross are longer together than the two that join their points to each other's tags: the
triangle inequality at where they cross says so, since a thread is tied to a tag where that is nearest. So
each change shortens the whole, and changing comes to an end when no two cross.
"""

from collections.abc import Sequence
from itertools import combinations

from shoprepair.gear.diagram.tangles import Spot, crossed

ROUNDS = 100
"""So often all pairs are looked at; a dozen has been enough for forty points anywhere."""


def uncrossed(spots: Sequence[Spot]) -> list[Spot]:
    """The same points and places, each point with the place that its thread reaches without crossing another.

    Places of another size than a tag's own are not taken for it.
    """
    found = list(spots)
    for _ in range(ROUNDS):
        if not sum(_changed(found, one, other) for one, other in combinations(range(len(found)), 2)):
            break
    return found


def _changed(spots: list[Spot], one: int, other: int) -> bool:
    """Whether two threads crossed, and their tags changed places."""
    here, there = spots[one], spots[other]
    if not crossed(here, there) or not _alike(here, there):
        return False
    pair = Spot(here.knot, there.box), Spot(there.knot, here.box)
    # Below what a float can tell, two would change for ever.
    if sum(spot.thread for spot in pair) >= (here.thread + there.thread) * (1 - 1e-12):
        return False
    spots[one], spots[other] = pair
    return True


def _alike(one: Spot, other: Spot) -> bool:
    return abs(one.width - other.width) < 1e-9 * one.width

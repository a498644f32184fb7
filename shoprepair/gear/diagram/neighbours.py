"""Which region an arrow key leads to: the nearest that way, and every region reachable from every other."""

from collections.abc import Mapping

from shoprepair.gear.curve import Point

Links = dict[str, dict[str, str]]
OPPOSITE = {"left": "right", "right": "left", "up": "down", "down": "up"}
ASIDE = 2.2
"""How much dearer it is to stray sideways than to go on."""


def neighbours(middles: Mapping[str, Point]) -> Links:
    """For each region the ids that the arrow keys left, right, up and down lead to."""
    links = {here: _nearest_each_way(here, middles) for here in middles}
    if middles:
        _join(links, middles)
    return links


def _nearest_each_way(here: str, middles: Mapping[str, Point]) -> dict[str, str]:
    nearest: dict[str, tuple[float, str]] = {}
    for there in middles:
        if there == here:
            continue
        way, cost = _way(middles[here], middles[there])
        if way not in nearest or (cost, there) < nearest[way]:
            nearest[way] = (cost, there)
    return {way: nearest[way][1] for way in OPPOSITE if way in nearest}


def _way(here: Point, there: Point) -> tuple[str, float]:
    across, down = there.x_m - here.x_m, there.y_m - here.y_m
    if abs(across) >= abs(down):
        return ("right" if across > 0 else "left"), abs(across) + ASIDE * abs(down)
    return ("down" if down > 0 else "up"), abs(down) + ASIDE * abs(across)


def _join(links: Links, middles: Mapping[str, Point]) -> None:
    """Put each region that the keys miss between a region they reach and what lay beyond it."""
    start = next(iter(middles))
    while len(reached := _round_trips(links, start)) < len(middles):
        lost = [here for here in middles if here not in reached]
        here, there = min(((a, b) for a in reached for b in lost), key=lambda pair: _gap(middles, *pair))
        way = _way(middles[here], middles[there])[0]
        beyond = links[here].get(way)
        links[here][way] = there
        links[there][OPPOSITE[way]] = here
        if beyond:
            links[there][way] = beyond


def _gap(middles: Mapping[str, Point], here: str, there: str) -> tuple[float, str, str]:
    return _way(middles[here], middles[there])[1], here, there


def _round_trips(links: Links, start: str) -> set[str]:
    """Regions that can be reached from the start and lead back to it."""
    back: Links = {here: {} for here in links}
    for here, ways in links.items():
        for way, there in ways.items():
            back[there][f"{here} {way}"] = here
    return _reached(links, start) & _reached(back, start)


def _reached(links: Links, start: str) -> set[str]:
    seen, waiting = {start}, [start]
    while waiting:
        for there in links[waiting.pop()].values():
            if there not in seen:
                seen.add(there)
                waiting.append(there)
    return seen

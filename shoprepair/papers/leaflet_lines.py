"""What the leaflet says of each damage. Under which verdict a line stands is asked of the rules, never typed.

Each line brings the damages that it speaks of; the strictest answer to any of them places it.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shoprepair.gear import everyday
from shoprepair.gear.everyday import SIZES
from shoprepair.jobs.advice import advise_told
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.mechanics.description import Kind

WING, KITE = Kind.WING.value, Kind.KITE.value
LARGE, SMALL = SIZES[-1], SIZES[0]
WINGS, KITES = ((WING, LARGE),), ((KITE, LARGE),)
"""The largest of a kind answers for all its sizes: no smaller one is asked more."""
EVERY = (*WINGS, *KITES)
SMALL_ENOUGH = (*WINGS, (KITE, SMALL))
"""Gear on which tape holds in the middle of the cloth too."""
LARGE_KITES = ((KITE, SIZES[1]), *KITES)


class Line(NamedTuple):
    """A few words, and every damage that they are true of."""

    words: Promise
    damages: tuple[Told, ...]

    @property
    def verdict(self) -> Verdict:
        """The strictest answer to any of its damages."""
        return max(advise_told(told).verdict for told in self.damages)


def of_verdict() -> dict[Verdict, list[Promise]]:
    """The lines under the verdict that the rules give them today, in the order they are written in."""
    found: dict[Verdict, list[Promise]] = {verdict: [] for verdict in Verdict}
    with everyday.read_once():
        for line in LINES:
            found[line.verdict].append(line.words)
    return found


def _on(gear: Iterable[tuple[str, str]], at: str, look: str, **answers: str) -> Iterator[Told]:
    return (Told(kind=kind, size=size, at=at, look=look, **answers) for kind, size in gear)


def _line(words: Promise, *damages: Iterator[Told]) -> Line:
    return Line(words, tuple(told for some in damages for told in some))


LINES = (
    _line(
        _("A scrape on a tube that stays round in the fold test"),
        _on(EVERY, "front-centre", "scrape", fold="round"),
        _on(EVERY, "strut-centre", "scrape", fold="round"),
    ),
    _line(
        _("A tube that goes soft in a day, not sooner"),
        _on(EVERY, "front-centre", "soft", softens="day"),
        _on(EVERY, "valve", "soft", softens="day"),
    ),
    _line(_("A cloudy window"), _on(WINGS, "window", "cloudy")),
    _line(
        _("A tear in the cloth (C), up to a palm"),
        _on(SMALL_ENOUGH, "canopy-centre", "torn", length="palm"),
        _on(EVERY, "canopy-outer", "torn", length="palm"),
    ),
    _line(_("A crack in a window, up to a coin"), _on(WINGS, "window", "cracked", length="coin")),
    _line(
        _("A loose valve or hose that holds air for a day"),
        _on(EVERY, "valve", "valve", softens="day"),
        _on(EVERY, "hose", "valve", softens="day"),
    ),
    _line(
        _("A tear or an open seam in the cloth (C), up to a hand"),
        _on(SMALL_ENOUGH, "canopy-centre", "torn", length="hand"),
        _on(SMALL_ENOUGH, "canopy-centre", "seam", length="hand"),
        _on(EVERY, "canopy-outer", "torn", length="hand"),
    ),
    _line(_("A tear at the back edge, up to a palm"), _on(SMALL_ENOUGH, "back-edge", "torn", length="palm")),
    _line(
        _(
            "Far from any shop only: a cut or hole near a tip (B), up to a fingernail on a wing, "
            "up to a coin on a kite"
        ),
        _on(WINGS, "front-tip", "cut", length="nail", far="far"),
        _on(WINGS, "front-tip", "hole", length="nail", far="far"),
        _on(KITES, "front-tip", "cut", length="coin", far="far"),
    ),
    _line(
        _("Any other cut or hole in a tube (A), however small"),
        _on(EVERY, "front-centre", "cut", length="nail", far="far"),
        _on(EVERY, "strut-centre", "hole", length="nail"),
    ),
    _line(_("A burst tube"), _on(EVERY, "front-centre", "burst")),
    _line(_("An open seam in a tube"), _on(EVERY, "front-tip", "seam", length="nail")),
    _line(
        _("A scrape that folds to an edge, or that nobody has folded"),
        _on(EVERY, "front-tip", "scrape", fold="edge"),
        _on(EVERY, "front-tip", "scrape", fold="untried"),
    ),
    _line(
        _("Whatever goes soft within an hour"),
        _on(EVERY, "strut-centre", "soft", softens="hour"),
        _on(EVERY, "valve", "valve", softens="hour"),
    ),
    _line(
        _("Open stitching at a handle, or where a line meets the tube"),
        _on(WINGS, "handle", "seam"),
        _on(KITES, "bridle", "seam"),
    ),
    _line(
        _("A tear longer than a hand; on a kite over 8 m², one near the middle longer than a coin"),
        _on(EVERY, "canopy-outer", "torn", length="longer"),
        _on(LARGE_KITES, "canopy-centre", "torn", length="palm"),
    ),
)

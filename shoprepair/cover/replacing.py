"""Repairs whose place a later one took: a new bladder ends what was promised of the old one's patches."""

from collections.abc import Iterable, Iterator

from django.utils.translation import gettext

from shoprepair.cover import endings, standing
from shoprepair.cover.models import Cover, Ending
from shoprepair.cover.reading import read
from shoprepair.shop.models import Staff


def end_replaced(given: Iterable[Cover], who: Staff) -> list[Ending]:
    """End the standing covers of earlier visits that lie on nothing but bladders that are now new."""
    return [
        endings.end(
            old, Ending.Reason.REPLACED, gettext("A new bladder, cover %(new)s.") % {"new": new}, who=who
        )
        for new in given
        for old in _replaced(new)
    ]


def _replaced(new: Cover) -> Iterator[Cover]:
    bladders = {each.surface for each in read(new).footprints if each.shape == "tube"}
    if not bladders:
        return
    for old in standing.standing(new.inflatable):
        lies = {(each.layer, each.surface) for each in read(old).footprints}
        if old.job_id != new.job_id and lies and lies <= {("bladder", surface) for surface in bladders}:
            yield old

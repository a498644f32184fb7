"""Which gear the damages asked about lie on, and which pattern stands for the rest on a drawing."""

from collections.abc import Iterable

from django.db.models import Count

from shoprepair.cover.failing.asked import Asked, damages
from shoprepair.gear import describe
from shoprepair.gear.models import Pattern


def standing_for(asked: Asked) -> dict[str, Pattern]:
    """For each kind of gear the pattern that most of these damages lie on, of the library if any is."""
    of = "job__inflatable__pattern"
    rows = damages(asked).values_list(f"{of}__kind", f"{of}__measured_here", of).annotate(n=Count("id"))
    chosen: dict[str, int] = {}
    for kind, _, pattern, _ in sorted(rows, key=lambda row: (row[1], -row[3], row[2])):
        chosen.setdefault(kind, pattern)
    found = fetched(chosen.values())
    return {kind: found[pattern] for kind, pattern in sorted(chosen.items(), reverse=True)}


def fetched(keys: Iterable[int]) -> dict[int, Pattern]:
    """Patterns with all that drawing and mechanics need of them, in few statements however many there are."""
    wanted = Pattern.objects.filter(pk__in=list(keys)).select_related("casing", "canopy", "window")
    found = {pattern.pk: pattern for pattern in wanted}
    describe.warm(found.values())
    return found

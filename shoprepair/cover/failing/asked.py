"""Which damages are asked about: the filters of the failure pages, as one queryset."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Case, F, IntegerField, QuerySet, Value, When
from django.db.models.expressions import Combinable
from django.db.models.lookups import GreaterThanOrEqual, LessThan
from django.utils import timezone

from shoprepair.jobs.models import Damage
from shoprepair.shop.languages import gettext_lazy

YEARS_BACK = 60
AGES: dict[str, tuple[str, int, int]] = {
    "new": (gettext_lazy("under 2 years"), 0, 2),
    "middle": (gettext_lazy("2 to 4 years"), 2, 5),
    "old": (gettext_lazy("5 years and more"), 5, 200),
}
"""Ages of gear that can be asked for: words, from and below how many years."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked about; what is empty is not asked."""

    gear: str = ""
    """wing or kite."""
    pattern: int | None = None
    kind: str = ""
    """Kind of damage."""
    element: str = ""
    since: int | None = None
    until: int | None = None
    """First and last year in which the gear came in."""
    age: str = ""
    """Age of the gear then, a key of AGES."""

    @property
    def is_all(self) -> bool:
        return self == Asked()


def damages(asked: Asked) -> QuerySet[Damage]:
    """Every described damage that is asked about, whatever became of its job."""
    found = Damage.objects.filter(removed_at=None).exclude(kind="").order_by()
    exact = {
        "job__inflatable__pattern__kind": asked.gear,
        "job__inflatable__pattern": asked.pattern,
        "kind": asked.kind,
        "element": asked.element,
        "job__received_at__year__gte": asked.since,
        "job__received_at__year__lte": asked.until,
    }
    found = found.filter(**{field: value for field, value in exact.items() if value})
    if asked.age in AGES:
        _, low, high = AGES[asked.age]
        found = found.filter(GreaterThanOrEqual(age(), low), LessThan(age(), high))
    return found


def age() -> Combinable:
    """Years of the gear when it came in, from the year it was bought; null where nobody knows that."""
    return _year_it_came() - F("job__inflatable__bought_year")


def _year_it_came() -> Case:
    """The year by comparing moments: to extract it, SQLite would call back into Python for every row."""
    latest = timezone.localdate().year + 1
    begins = {
        year: timezone.make_aware(datetime(year, 1, 1))  # noqa: DTZ001
        for year in range(latest, latest - YEARS_BACK, -1)
    }
    found = [When(job__received_at__gte=moment, then=Value(year)) for year, moment in begins.items()]
    return Case(*found, default=Value(latest - YEARS_BACK), output_field=IntegerField())

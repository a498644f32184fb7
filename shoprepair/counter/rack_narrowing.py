"""What narrows the rack: what an address asks for, and the choices beside the rows, kept once written."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from urllib.parse import urlencode

from django.conf import settings
from django.db.models import Q
from django.http import QueryDict
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shoprepair.counter import rack_rows
from shoprepair.jobs import queries
from shoprepair.jobs.expected import AWAY
from shoprepair.jobs.lines import Line
from shoprepair.jobs.models import Hold, Stage
from shoprepair.mechanics.description import Band
from shoprepair.shop.languages import kept_by_language
from shoprepair.work import forecast

LONGEST_TEXT = 80
MOST_KEPT = 256
Counted = tuple[tuple[str, int], ...]
"""How many jobs there are of each value, in order."""


@dataclass(frozen=True, slots=True)
class Filter:
    """What narrows the rack; whatever an address holds that is none of these narrows nothing."""

    stage: str = ""
    band: str = ""
    hold: str = ""
    text: str = ""
    late: str = ""
    """“1”: only what will likely or perhaps be late."""

    @classmethod
    def read(cls, asked: QueryDict) -> "Filter":
        return cls(
            stage=_one_of(asked.get("stage"), Stage.values),
            band=_one_of(asked.get("band"), [*map(str, Band), queries.NOT_JUDGED]),
            hold=_one_of(asked.get("hold"), [queries.ANY_HOLD, *filter(None, Hold.values)]),
            text=asked.get("text", "").replace("\0", "").strip()[:LONGEST_TEXT],
            late=_one_of(asked.get("late"), ["1"]),
        )

    @property
    def any(self) -> bool:
        return self != Filter()

    @property
    def chosen(self) -> dict[str, str]:
        return {name: value for name, value in asdict(self).items() if value}

    def page(self, after: str) -> queries.Page:
        """The jobs that it lets through; what is not here yet by its stage alone."""
        also = forecast.LATE if self.late else Q()
        narrow = {name: value for name, value in self.chosen.items() if name != "late"}
        also = also if self.stage else also & ~AWAY
        return queries.rack(**narrow, after=after or None, also=also, beside=rack_rows.BESIDE)

    def beside(self, *, away: bool, newest: int) -> tuple[list[Line], list[Line]]:
        """What was asked about from outside and is not here yet, as far as it lets that through; and the
        newest of all that is here."""
        away = away and not self.stage and not self.late
        narrow = {"band": self.band, "hold": self.hold, "text": self.text}
        return queries.away_and_newest(**narrow, away=away, newest=newest, beside=rack_rows.BESIDE)

    def url(self, **beside: str) -> str:
        query = urlencode({**self.chosen, **beside})
        return f"{reverse('rack')}?{query}" if query else reverse("rack")


@dataclass(frozen=True, slots=True)
class Choice:
    """A link that narrows the rack, or lets it go again."""

    id: str
    label: str
    count: int
    url: str
    chosen: bool
    band: str = ""


def narrowing(chosen: Filter, counts: queries.Counts, shown: int) -> SafeString:
    """The choices beside the rows; `shown` is how many rows there are."""
    if settings.DEBUG:
        # Whoever works on these templates sees each change of them.
        _narrowing.cache_clear()
    of = [tuple(each.items()) for each in (counts.stages, counts.bands, counts.holds)]
    return _narrowing(chosen, *of, shown if chosen.late else 0)


@kept_by_language(MOST_KEPT)
def _narrowing(chosen: Filter, stages: Counted, bands: Counted, holds: Counted, shown: int) -> SafeString:
    page = {
        "filter": chosen,
        "stages": list(_stages(chosen, stages)),
        "bands": list(_choices(chosen, "band", bands, band_words())),
        "held": list(_held(chosen, holds)),
        "holds": list(_choices(chosen, "hold", holds, dict(Hold.choices))) if chosen.hold else [],
        "late": list(_late(chosen, shown)),
        "hidden": [(name, value) for name, value in chosen.chosen.items() if name != "text"],
    }
    return render_to_string("counter/rack/narrowing.html", page)


def band_words() -> dict[str, str]:
    """The bands by name, and what is said of jobs that have none yet."""
    return {str(band): gettext(str(band)) for band in Band} | {queries.NOT_JUDGED: gettext("Not judged yet")}


def _stages(chosen: Filter, counts: Counted) -> Iterator[Choice]:
    total = sum(count for _, count in counts)
    yield Choice("stage-all", gettext("All open"), total, replace(chosen, stage="").url(), not chosen.stage)
    for stage, count in counts:
        url = replace(chosen, stage=stage).url()
        yield Choice(f"stage-{stage}", Stage(stage).label, count, url, chosen.stage == stage)


def _held(chosen: Filter, counts: Counted) -> Iterator[Choice]:
    """All that waits, whatever for; what for is asked once this is chosen."""
    if (waiting := sum(count for _, count in counts)) or chosen.hold:
        url = replace(chosen, hold="" if chosen.hold else queries.ANY_HOLD).url()
        yield Choice("hold-any", gettext("On hold"), waiting, url, bool(chosen.hold))


def _late(chosen: Filter, shown: int) -> Iterator[Choice]:
    """The way out of what an address from elsewhere narrowed to: what will be late."""
    if chosen.late:
        yield Choice("late", gettext("Will be late"), shown, replace(chosen, late="").url(), True)


def _choices(chosen: Filter, name: str, counts: Counted, labels: dict[str, str]) -> Iterator[Choice]:
    """A choice for each value that a job has; the chosen one leads back out."""
    for value, count in counts:
        is_chosen = getattr(chosen, name) == value
        if count or is_chosen:
            without = queries.ANY_HOLD if name == "hold" else ""
            url = replace(chosen, **{name: without if is_chosen else value}).url()
            slug = str(value).lower().replace(" ", "-")
            band = str(value) if name == "band" and value != queries.NOT_JUDGED else ""
            yield Choice(f"{name}-{slug}", labels[value], count, url, is_chosen, band)


def _one_of(asked: str | None, known: list[str]) -> str:
    return asked if asked and asked in known else ""

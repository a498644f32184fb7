"""The pages that are opened all day, in shops of different size: statements, work of the database, time."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shoprepair.cover.models import Claim
from shoprepair.jobs import links
from shoprepair.jobs.models import Job, Stage, StatusLink
from shoprepair.jobs.queries import PAGE_SIZE
from shoprepair.shop.models import Staff
from shoprepair.shop.weeks import IsoWeek
from tests.measure import counting, shops, still
from tests.measure.fastest import fastest
from tests.measure.said import Said

MOST_STATEMENTS = {"rack": 5, "rack, its deepest page": 5, "job sheet": 12}
GROWS_AT_MOST, SLOWER_AT_MOST, DEEPEST_AT_MOST, SEARCH_AT_MOST = 1.05, 1.25, 1.1, 2.0
KEYS = ("m", "an", "jor", "lind", "soren", "halvor", "marten", "bjornsta")
"""Typed while searching: one letter to eight."""


@dataclass(frozen=True)
class Page:
    """A page as somebody opens it."""

    name: str
    who: str
    path: Callable[[], str]


@dataclass(frozen=True)
class Taken:
    """What one opening of a page took."""

    statements: int
    work: int
    writes: int
    above: int
    """Of the work, on a server: pages on the way down to the leaves of indexes."""


def pages() -> Iterator[Page]:
    """What is opened all day; the same records in a shop of any size."""
    yield Page("rack", Staff.Role.COUNTER, lambda: reverse("rack"))
    yield Page("rack, its deepest page", Staff.Role.COUNTER, _deepest)
    yield Page("job sheet", Staff.Role.COUNTER, lambda: reverse("job", args=[_busiest().number]))
    yield Page("bench", Staff.Role.BENCH, lambda: reverse("bench"))
    yield Page("bench, one job", Staff.Role.BENCH, lambda: reverse("bench-job", args=[_at_the_bench()]))
    yield Page("office", Staff.Role.OWNER, lambda: reverse("office"))
    yield Page("office, money of the week", Staff.Role.OWNER, lambda: reverse("money-week", args=[_week()]))
    yield Page("status link", "", _status)
    yield Page("claim", Staff.Role.COUNTER, _claim)
    yield Page("gear and its covers", Staff.Role.COUNTER, _gear)
    for key in KEYS:
        path = f"{reverse('search')}?q={key}"
        yield Page(f"search, {len(key)} letters", Staff.Role.COUNTER, lambda path=path: path)


class Shop:
    """One shop, with somebody of each role logged in."""

    def __init__(self, go_in: Callable[[], None]) -> None:
        self.go_in = go_in
        go_in()
        self.paths = {page.name: page.path() for page in pages()}
        self.clients = {str(role): _logged_in(role) for role in Staff.Role} | {"": Client()}

    def open(self, page: Page) -> None:
        """As a browser does; raises where the page is not there."""
        answer = self.clients[str(page.who)].get(self.paths[page.name], headers={"host": "127.0.0.1"})
        assert answer.status_code == 200, f"{page.name}: {self.paths[page.name]} {answer.status_code}"

    def taken(self, page: Page) -> Taken:
        """Opened twice before it is counted, since what is loaded once is not what it costs."""
        self.go_in()
        for _ in range(2):
            self.open(page)
        with counting.counted() as cost:
            self.open(page)
        return Taken(len(cost.statements), cost.work, cost.writes, cost.above)


def counts(shops: dict[int, Shop]) -> Iterator[Said]:
    """Statements and work of the database, the largest shop beside the smallest."""
    large, writes = max(shops), 0
    for page in pages():
        beside = _beside(page, shops)
        few, many = shops[beside].taken(page), shops[large].taken(page)
        most = MOST_STATEMENTS.get(page.name, few.statements)
        yield Said(f"{page.name}: statements at {large:,} visits", many.statements, most, unit="")
        most_work = SEARCH_AT_MOST if page.name.startswith("search") else GROWS_AT_MOST
        note = f"{few.work:,} at {beside:,}, {many.work:,} at {large:,}"
        yield Said(f"{page.name}: work of the database", many.work / max(1, few.work), most_work, note=note)
        if many.above and len(shops) > 2:
            yield _without_levels(page, shops[sorted(shops)[-2]].taken(page), many)
        writes += many.writes
    yield Said("all of them: statements that write, the session's too", writes, 0, unit="")
    first, deepest = (shops[large].taken(page) for page in list(pages())[:2])
    yield Said("rack: deepest page to first, work", deepest.work / first.work, DEEPEST_AT_MOST)


def _without_levels(page: Page, fewer: Taken, many: Taken) -> Said:
    """Of the smallest, tables of a few pages are read whole; in the two largest all is sought in indexes."""
    few, much = fewer.work - fewer.above, many.work - many.above
    note = f"{few:,}, {much:,}; {fewer.above:,} and {many.above:,} more above the leaves"
    said = f"{page.name}: the same of the two largest, without levels of indexes"
    return Said(said, much / max(1, few), GROWS_AT_MOST, note=note)


def times(shops: dict[int, Shop], rounds: int = 15) -> Iterator[Said]:
    """The shortest times, the shops in turn."""
    large = max(shops)
    for page in pages():
        small = _beside(page, shops)
        acts = {size: _opening(shops[size], page) for size in (small, large)}
        best = fastest(acts, rounds)
        most = SEARCH_AT_MOST if page.name.startswith("search") else SLOWER_AT_MOST
        note = f"{best[small] * 1000:.1f} ms, {best[large] * 1000:.1f} ms"
        yield Said(f"{page.name}: time", best[large] / best[small], most, note=note)


def _beside(page: Page, shops: dict[int, Shop]) -> int:
    """What the largest is held against: the smallest; where a search finds its fill, the one before."""
    return sorted(shops)[-2] if page.name.startswith("search") and len(shops) > 2 else min(shops)


def _opening(shop: Shop, page: Page) -> Callable[[], None]:
    def act() -> None:
        shop.open(page)

    # The way in is not what is measured; it is taken before each opening, outside the clock.
    act.before = shop.go_in  # type: ignore[attr-defined]
    return act


def _logged_in(role: str) -> Client:
    client = Client()
    client.force_login(Staff.objects.filter(role=role, is_active=True).order_by("pk")[0])
    return client


def _deepest() -> str:
    """The page before the last, so that it is a whole one."""
    here = Job.objects.filter(is_open=True).exclude(stage=Stage.ENQUIRY)
    last = here.order_by("-rank", "-promised_on", "-id")
    job = last[min(PAGE_SIZE, last.count() - 1)]
    return f"{reverse('rack')}?after={job.rank}.{job.promised_on.isoformat()}.{job.pk}"


def _busiest() -> Job:
    """An open visit of the demo's own with as many findings as any."""
    here = Job.objects.filter(stage=Stage.BENCH).order_by("-damage_count", "pk")
    return here[0]


def _at_the_bench() -> int:
    return _busiest().number


def _week() -> IsoWeek:
    return IsoWeek.of(timezone.localdate())


def _status() -> str:
    link = StatusLink.objects.filter(job__stage=Stage.QUOTE_OUT, withdrawn_at=None).order_by("pk")[0]
    return links.path(link)


def _claim() -> str:
    claim = Claim.objects.order_by("pk")[0]
    return reverse("claim", args=[claim.job.number, claim.damage.number])


def _gear() -> str:
    claim = Claim.objects.select_related("cover").order_by("pk")[0]
    return reverse("gear", args=[claim.cover.inflatable_id])


def measured() -> Iterator[Said]:
    """Build what is missing, then count, then take times."""
    where = {size: shops.shop(size) for size in shops.sizes()}
    for each in (counts, times):
        # The owner's pages ask for the password again after a while.
        yield from each({size: Shop(partial(shops.switch, where[size])) for size in where})
    shops.switch(where[min(where)])
    yield from still.beside_a_still_page(_logged_in(Staff.Role.COUNTER))

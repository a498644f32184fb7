"""The hand-back sheet: what was done and where, whether it holds, what is covered, and who took it."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.cover.layup_words import layup_sentence
from shoprepair.jobs.damages import live
from shoprepair.jobs.models import Damage, Job
from shoprepair.jobs.words import finding_words, short_place_words
from shoprepair.papers import cautions
from shoprepair.papers.care import care, watch
from shoprepair.papers.context import DAY, letterhead, listed
from shoprepair.papers.quote import CROWD, drawn
from shoprepair.papers.render import printed, svg
from shoprepair.pricing.named import unnumbered
from shoprepair.pricing.proposals import layup_of
from shoprepair.shop.languages import SpeakAs, gettext_lazy
from shoprepair.shop.models import Paper, Shop
from shoprepair.shop.settings import current
from shoprepair.shop.units import Units, say, sentence, units_for
from shoprepair.work import hand_back, hold_needs, invoices, signature
from shoprepair.work.models import HandBack, HoldTest, Step
from shoprepair.work.stock.lots import months_after
from shoprepair.work.taken import Taken, taken

LAYOUTS = {"roomy": 1, "compact": 1, "dense": 1}
CAUTIONS = (cautions.SCREENING, cautions.DROWNING)
PEN_WIDTH = 500
FOR_LIFE = gettext_lazy("for the life of the gear")
_PASSES_ON = {
    True: gettext_lazy("passes to a new owner"),
    False: gettext_lazy("for the first owner only"),
    None: "",
}


class Work(NamedTuple):
    """Agreed work as it was carried out; what was done alike at several damages is said once."""

    numbers: tuple[int, ...]
    name: str
    layup: str
    where: tuple[tuple[str, tuple[int, ...]], ...]
    """What was found and where, each once with its damages."""
    left_out: str
    """Why it was left out at the bench; empty where it was done."""


class Cover(NamedTuple):
    """What is promised for some of the work."""

    work: tuple[tuple[str, tuple[int, ...]], ...]
    """Each name once, with the numbers of the damages it mends."""
    until: str
    passes: str
    """Whether it goes along to a new owner; empty where an older invoice does not say."""
    terms: str


@SpeakAs()
def render(job: Job, *, paper: str, base_url: str) -> bytes:
    """The sheet as PDF, on "A4" or "Letter"; with lines to sign on while the gear is still in the shop.

    One page where it fits. `base_url` is taken for all papers alike; nothing on it leads anywhere.
    """
    del base_url
    if paper not in Paper:
        raise ValueError(
            gettext("A hand-back sheet is printed on A4 or on Letter, not on “%(paper)s”.") % {"paper": paper}
        )
    shop, found, given = current(), live(job), hand_back.of(job)
    translation.activate(shop.language)
    context = {**_context(job, shop, found, given), "paper": paper}
    pictures = {"drawing": svg(drawn(job, found))}
    if given and given.signature:
        pictures["signature"] = svg(signature_svg(given))
    return printed(
        "papers/hand_back.html",
        context,
        style_sheets=("sheet", "quote", "hand_back"),
        pictures=pictures,
        layouts=LAYOUTS,
    )


def signature_svg(given: HandBack) -> str:
    """The signature as it was drawn, on a clear ground."""
    height = round(PEN_WIDTH * signature.HEIGHT)
    drawn = signature.path(given.signature, PEN_WIDTH, height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PEN_WIDTH} {height}">'
        f'<path d="{drawn}" fill="none" stroke="#15252b" stroke-width="4" stroke-linecap="round" '
        'stroke-linejoin="round"/></svg>'
    )


def _context(job: Job, shop: Shop, found: Sequence[Damage], given: HandBack | None) -> dict[str, Any]:
    units, zone = units_for(None, shop), ZoneInfo(shop.time_zone)
    works = _together(_work(each, found, units) for each in taken(job))
    mended = [number for work in works if not work.left_out for number in work.numbers]
    pattern = job.inflatable.pattern
    day = (given.at if given else timezone.now()).astimezone(zone).date()
    return {
        "shop": letterhead(shop),
        "number": str(job),
        "customer": job.customer.name,
        "name": str(pattern),
        "crowd": len(found) > CROWD,
        "gear": [fact for fact in (job.inflatable.colour, job.inflatable.serial) if fact],
        "received": _day(job.received_at, zone),
        "day": _day(given.at, zone) if given else "",
        "works": works,
        "tests": list(_tests(job, units)),
        "covers": _covers(job, day),
        "care": care(pattern, units),
        "watch": watch(found, mended, units),
        "cautions": CAUTIONS,
        "given": given,
    }


def _work(done: Taken, found: Sequence[Damage], units: Units) -> Work:
    return Work(
        numbers=done.damages,
        name=unnumbered(done.name),
        layup=_made(done, units),
        where=tuple(
            (_where(damage, units), (damage.number,)) for damage in found if damage.number in done.damages
        ),
        left_out=_left_out(done),
    )


def _together(works: Iterable[Work]) -> list[Work]:
    """What was done alike, once, with all its damages, where the first of it stands."""
    alike: dict[tuple[str, str, str], list[Work]] = {}
    for work in works:
        alike.setdefault((work.name, work.layup, work.left_out), []).append(work)
    return [
        same[0]._replace(
            numbers=tuple(sorted({number for work in same for number in work.numbers})),
            where=tuple(_at_once(where for work in same for where in work.where)),
        )
        for same in alike.values()
    ]


def _at_once(found: Iterable[tuple[str, tuple[int, ...]]]) -> Iterator[tuple[str, tuple[int, ...]]]:
    """Each finding in its words once, with the numbers of all it was found at."""
    at: dict[str, set[int]] = {}
    for words, numbers in found:
        at.setdefault(words, set()).update(numbers)
    for words, together in at.items():
        yield words, tuple(sorted(together))


def _made(done: Taken, units: Units) -> str:
    """The patch as it was sewn; empty where nothing is laid up."""
    made = layup_sentence(layup_of(done.repair)) if done.repair else None
    return say(made, units) if made else ""


def _where(damage: Damage, units: Units) -> str:
    return f"{finding_words(damage, units)}, {short_place_words(damage)}"


def _left_out(done: Taken) -> str:
    """The reason, where every step of a repair was left out."""
    if done.repair is None:
        return ""
    steps = list(done.repair.steps.all())
    if not steps or any(step.state != Step.State.SKIPPED for step in steps):
        return ""
    return steps[0].reason or gettext("left out")


def _tests(job: Job, units: Units) -> Iterator[tuple[str, str]]:
    """The tubes that were tested with what their test came to, those together of which the same is said."""
    alike: dict[str, list[str]] = {}
    for tube in hold_needs.standing(job):
        if tube.test is None or tube.test.verdict not in (HoldTest.Verdict.HOLDS, HoldTest.Verdict.FAILS):
            continue
        kept = tube.test.judged.get("reason")
        said = say(sentence(kept), units) if kept else tube.test.get_verdict_display()
        alike.setdefault(said, []).append(tube.label)
    for said, tubes in alike.items():
        together = listed(tubes)
        yield together[:1].upper() + together[1:], said


def _covers(job: Job, day: date) -> list[Cover]:
    """The covers as they were worded that day: on the invoice, or today's while there is none."""
    invoice = invoices.standing(job)
    parts = invoice.lines["parts"] if invoice else invoices.parts(invoices.agreements(job))
    named: dict[tuple[str, int | None, bool | None], dict[str, list[int]]] = {}
    for line in (line for part in parts for line in part["lines"] if line.get("cover")):
        cover = line["cover"]
        names = named.setdefault((cover["terms"], cover["months"], cover.get("passes_on")), {})
        names.setdefault(unnumbered(line["text"]), []).extend(line["damages"])
    return [
        Cover(
            tuple((name, tuple(sorted(set(numbers)))) for name, numbers in names.items()),
            gettext("until %(formatted)s") % {"formatted": date_format(months_after(day, months), DAY)}
            if months
            else FOR_LIFE,
            _PASSES_ON[passes_on],
            terms,
        )
        for (terms, months, passes_on), names in named.items()
    ]


def _day(moment: datetime, zone: ZoneInfo) -> str:
    return date_format(moment.astimezone(zone), DAY)

"""What came through the self-check: five enquiries, each elsewhere on its way, and what was asked besides."""

import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random

from django.utils import timezone

from shoprepair import serve
from shoprepair.gear.models import Pattern
from shoprepair.jobs import damages, joining, repin
from shoprepair.jobs.advice import advise_told
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.enquiries import forgetting, making
from shoprepair.jobs.models import Enquiry, Job, SelfCheckTally
from shoprepair.mechanics.description import FindingKind
from shoprepair.office.demo import camera, clock, passing, visits
from shoprepair.office.demo.album import DYES
from shoprepair.office.demo.earlier import SCHOOL_RED
from shoprepair.office.demo.people import Crew
from shoprepair.pricing import rough
from shoprepair.shop.units import Units, read_length

ASKED_DAYS = 54
MORNING = 7
"""Before this hour nobody asks anything: whoever would have did so the evening before."""
BY_POST = Enquiry.Comes.BY_POST


@dataclass(frozen=True, slots=True)
class Asked:
    """One enquiry, sent so many days ago."""

    key: str
    days_ago: int
    name: str
    contact: str
    damages: tuple[Told, ...]
    words: str = ""
    comes: str = Enquiry.Comes.BY_HAND
    language: str = "en"
    photo: FindingKind | None = None


def _wing(size: str, at: str, look: str, **answers: str) -> Told:
    return Told(kind="wing", size=size, at=at, look=look, **answers)


def _kite(size: str, at: str, look: str, **answers: str) -> Told:
    return Told(kind="kite", size=size, at=at, look=look, **answers)


FORGOTTEN = Asked(
    "demo-old",
    97,
    "Ottoline Sandgrove",
    "+44 7700 900 486",
    (_wing("small", "front-middle", "scrape", fold="untried"),),
    words="Is it worth the way to you?",
)
KNOWN = Asked(
    "demo-known",
    5,
    "Zoë Vandermeulenbroucke",
    "zoe@letters.example",
    (_wing("medium", "front-middle", "cut", length="coin"),),
    words="One of the school’s, the white and red one. We come on Monday.",
)
NEW = Asked(
    "demo-new",
    4,
    "Tjark Wattenrieder",
    "+44 7700 900 413",
    (_kite("medium", "strut-side", "scrape", fold="edge"),),
    language="de",
)
BY_PARCEL = Asked(
    "demo-parcel",
    2,
    "Noor Strandhoven",
    "noor@mail.example",
    (
        _wing("large", "canopy-outer", "torn", length="hand"),
        _wing("large", "window", "cracked", length="coin"),
    ),
    words="On holiday until Sunday. I taped it to get home.",
    comes=BY_POST,
    photo=FindingKind.TEAR,
)
GROUNDED = Asked(
    "demo-grounded",
    0,
    "Mereana Tidewell",
    "+1 202 555 0176",
    (_wing("medium", "front-centre", "cut", length="palm"),),
    words="A fin went through it. Can you have it by the weekend?",
)

QUESTIONS = (
    (_wing("medium", "canopy-centre", "torn", length="palm"), 9),
    (_wing("medium", "front-tip", "cut", length="coin", far="home"), 7),
    (_kite("medium", "valve", "valve", softens="day"), 6),
    (_wing("medium", "front-centre", "cut", length="palm"), 5),
    (_wing("small", "front-middle", "scrape", fold="round"), 5),
    (_kite("medium", "strut-side", "soft", softens="hour"), 4),
    (_wing("large", "window", "cracked", length="coin"), 3),
    (_kite("medium", "canopy-outer", "torn", length="hand"), 3),
    (_wing("large", "front-tip", "hole", length="nail", far="far"), 2),
    (_wing("medium", "handle", "seam"), 2),
    (_wing("medium", "front-centre", "burst"), 1),
)
"""What is asked, and how often beside the others."""


def happen(now: datetime, crew: Crew, rng: Random) -> None:
    """All of it, the oldest first."""
    _ask(FORGOTTEN, now, rng)
    _known_comes(_ask(KNOWN, now, rng), now, crew)
    _new_comes(_ask(NEW, now, rng), now, crew)
    _ask(BY_PARCEL, now, rng)
    _ask(GROUNDED, now, rng)
    with clock.at(now - timedelta(days=1)):
        forgetting.forget_due()
    SelfCheckTally.objects.bulk_create(_tallies(now, rng))


def _ask(asked: Asked, now: datetime, rng: Random) -> Job:
    moment = now - timedelta(days=asked.days_ago, hours=2, minutes=rng.randrange(50))
    if timezone.localtime(moment).hour < MORNING:
        moment -= timedelta(hours=MORNING + 2)
    with clock.at(moment):
        charge = rough.charge(asked.damages[0])
        enquiry = making.send(
            asked.damages,
            name=asked.name,
            contact=asked.contact,
            words=asked.words,
            comes=asked.comes,
            language=asked.language,
            key=asked.key,
            photos=list(_photos(asked, rng)),
            charge=charge.kept if charge else {},
            base_url=serve.url(),
        )
    return enquiry.job


def _photos(asked: Asked, rng: Random) -> Iterator[io.BytesIO]:
    if asked.photo:
        length_m = asked.damages[0].length_m or 0.1
        on_tube = asked.damages[0].at.startswith("front")
        colour = DYES["sea"]
        yield io.BytesIO(camera.photograph(asked.photo, rng, colour=colour, length_m=length_m, tube=on_tube))


def _known_comes(job: Job, now: datetime, crew: Crew) -> None:
    """The counter knows the school and its wing; the bench measures less than was told."""
    known = passing.find(*SCHOOL_RED)
    with clock.at(clock.open_at(now - timedelta(days=3))):
        owner = known.ownerships.get(until=None).customer
        joining.join(job, owner, known, who=crew.counter)
        visits.check_in(job, crew, came_with=("bag",), wet=False)
    with clock.at(clock.open_at(now - timedelta(days=2))):
        cut = job.damages.get()
        damages.answer(cut, length=read_length("18 mm", Units()), direction="along", who=crew.bench)


def _new_comes(job: Job, now: datetime, crew: Crew) -> None:
    """Nobody the shop knows; the model is read from the bag."""
    with clock.at(clock.open_at(now - timedelta(days=1))):
        repin.put_pattern(job.inflatable, Pattern.objects.get(name="Skarv 9 kite"), who=crew.counter)
        job.refresh_from_db()
        visits.check_in(job, crew, came_with=("bag", "pump"), wet=True)


def _tallies(now: datetime, rng: Random) -> Iterator[SelfCheckTally]:
    """More at weekends than in the week, as people ride."""
    rows = [(told, advise_told(told)) for told, _often in QUESTIONS]
    often = [often for _told, often in QUESTIONS]
    today = timezone.localdate(now)
    for day in (today - timedelta(days=back) for back in range(ASKED_DAYS)):
        asked = rng.choices(range(len(rows)), often, k=rng.randrange(1, 4 if day.weekday() < 5 else 9))
        for which, count in Counter(asked).items():
            told, advice = rows[which]
            yield SelfCheckTally(
                day=day,
                gear=told.gear,
                part=told.at,
                look=told.look,
                verdict=advice.verdict.code,
                rule=advice.rule.code,
                count=count,
            )

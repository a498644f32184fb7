"""Looks through a shop after its server was killed: what was acknowledged is there once, and nothing is half.

Runs in a process of its own with the shop's settings: reads a ledger a line, answers what is wrong.
"""

import json
import sys
from collections import Counter as Tally
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import django

Told = list[dict[str, Any]]


def whole(_acked: Told, _unsure: Told) -> Iterator[str]:
    """The file, and what its rows point to."""
    from django.db import connection

    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        yield from (f"integrity: {row[0]}" for row in cursor.fetchall() if row[0] != "ok")
        cursor.execute("PRAGMA foreign_key_check")
        yield from (f"points to nothing: {row}" for row in cursor.fetchall())


def counted(_acked: Told, _unsure: Told) -> Iterator[str]:
    """Numbers without a gap, and the series as far as they go."""
    from shoprepair.cover.models import Cover
    from shoprepair.jobs.models import Job
    from shoprepair.shop.models import Counter
    from shoprepair.work.models import Invoice

    for series, model in (("job", Job), ("invoice", Invoice), ("cover", Cover)):
        numbers = list(model.objects.order_by("number").values_list("number", flat=True))
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"{series} numbers have a gap: {numbers[-5:]} are the last of {len(numbers)}"
        if (far := Counter.objects.filter(pk=series).values_list("value", flat=True).first() or 0) != len(
            numbers
        ):
            yield f"the series of {series} stands at {far}, and there are {len(numbers)}"


def chained(_acked: Told, _unsure: Told) -> Iterator[str]:
    """The covers and their photos are as they were written."""
    from shoprepair.cover import chain

    for broken in (chain.first_broken(), chain.first_photo_changed()):
        if broken:
            yield f"cover {broken.number}: {broken.what}"


def pictured(_acked: Told, _unsure: Told) -> Iterator[str]:
    """Every photo's row has its files."""
    from shoprepair.jobs.models import Photo

    there = files()
    for key in Photo.objects.values_list("key", flat=True):
        missing = [size for size in ("small", "medium", "large") if f"{key}-{size}.jpg" not in there]
        if missing:
            yield f"photo {key} has no file: {', '.join(missing)}"


def told_whole(_acked: Told, _unsure: Told) -> Iterator[str]:
    """Nothing is half: each record has what is written with it."""
    from django.db.models import Count

    from shoprepair.jobs.models import Damage, Enquiry, Job, Photo
    from shoprepair.shop.models import JournalEntry, Submission

    results = list(Submission.objects.values_list("key", "result"))
    yield from (f"{key} was taken and has no result" for key, result in results if not result)
    started = Tally(JournalEntry.objects.filter(verb="job.started").values_list("subject", flat=True))
    begun = [result.split("/")[2] for key, result in results if key.startswith("start-")]
    asked = list(Enquiry.objects.values_list("job__number", flat=True))
    yield from (
        f"job {n} began {started[f'job:{n}']} times" for n in [*begun, *asked] if started[f"job:{n}"] != 1
    )
    pinned = Tally(int(result.split("/")[2]) for key, result in results if key.startswith("pin-"))
    numbers = list(map(int, begun))
    damages = Tally(Damage.objects.filter(job__number__in=numbers).values_list("job__number", flat=True))
    yield from (
        f"job {n}: {damages[n]} damages of {pinned[n]} pins" for n in numbers if damages[n] != pinned[n]
    )
    for enquiry in Enquiry.objects.select_related("job").annotate(seen=Count("job__photos")):
        if enquiry.seen != 1 or enquiry.job.damages.count() != len(enquiry.told):
            yield f"enquiry {enquiry.key}: {enquiry.seen} photos, {enquiry.job.damages.count()} damages"
    captions = Tally(
        Photo.objects.exclude(caption="").filter(removed_at=None).values_list("caption", flat=True)
    )
    yield from (f"photo {key} is there {times} times" for key, times in captions.items() if times > 1)
    twice = Job.objects.filter(is_open=True, stage="enquiry").values("inflatable").annotate(n=Count("id"))
    yield from (f"inflatable {each['inflatable']} has two enquiries" for each in twice.filter(n__gt=1))


def worked_whole(_acked: Told, _unsure: Told) -> Iterator[str]:
    """Money, hand-backs and steps agree with what is written about them."""
    from shoprepair.cover.models import Cover
    from shoprepair.jobs.models import Job
    from shoprepair.shop.models import JournalEntry
    from shoprepair.work.models import HandBack, Invoice, Payment, Step
    from shoprepair.work.settling import state_of

    paid, told = Payment.objects.count(), JournalEntry.objects.filter(verb="payment.taken").count()
    if paid != told:
        yield f"{paid} payments, and {told} in the journal"
    out = set(Job.objects.filter(stage="handed-back").values_list("pk", flat=True))
    out |= set(Job.objects.filter(stage="handed_back").values_list("pk", flat=True))
    for model in (HandBack, Invoice, Cover):
        if out != set(model.objects.values_list("job_id", flat=True)):
            yield f"{len(out)} jobs are out, and there are {model.objects.count()} of {model.__name__}"
    for step in Step.objects.filter(ticks__isnull=False).distinct():
        if step.state != state_of(step.ticks.select_related("who")).state:
            yield f"step {step.pk} stands at {step.state}, and its ticks say otherwise"


def there_once(acked: Told, unsure: Told) -> Iterator[str]:
    """What was acknowledged is there once; what got no answer is there once or not at all."""
    from shoprepair.jobs.models import Enquiry, Photo
    from shoprepair.shop.models import Submission
    from shoprepair.work.models import HandBack, Payment, Tick

    taken = Tally(Submission.objects.values_list("key", flat=True))
    photos = Tally(Photo.objects.filter(removed_at=None).values_list("caption", flat=True))
    paid = Tally(Payment.objects.values_list("note", flat=True))
    given = Tally(HandBack.objects.filter(taken_back_at=None).values_list("job__number", flat=True))
    ticks = Tally(Tick.objects.values_list("key", flat=True))
    enquiries = Tally(Enquiry.objects.values_list("key", flat=True))
    counts: dict[str, Callable[[dict[str, Any]], int]] = {
        "start": lambda act: taken[act["key"]],
        "pin": lambda act: taken[act["key"]],
        "photo": lambda act: photos[act["key"]],
        "pay": lambda act: paid[act["key"]],
        "give": lambda act: given[act["job"]],
        "tick": lambda act: ticks[act["key"]],
        "enquiry": lambda act: enquiries[act["key"]],
    }
    yield from (f"LOST or doubled: {act}" for act in acked if counts[act["what"]](act) != 1)
    yield from (f"doubled: {act}" for act in unsure if counts[act["what"]](act) > 1)


def files() -> set[str]:
    """The names of all files of photos."""
    from django.conf import settings

    return {path.name for path in (Path(settings.MEDIA_ROOT) / "photos").rglob("*") if path.is_file()}


def orphans() -> int:
    """Files that no row names: what the sweeper takes away."""
    from shoprepair.jobs.models import Photo

    named = set(Photo.objects.values_list("key", flat=True))
    return sum(name.rpartition("-")[0] not in named or name.endswith(".part") for name in files())


ALL = (whole, counted, chained, pictured, told_whole, worked_whole, there_once)


def main() -> None:
    """A ledger a line comes in, what is wrong goes out."""
    from django.db import connection

    for line in sys.stdin:
        ledger = json.loads(line)
        wrong = [each for look in ALL for each in look(ledger["acknowledged"], ledger["unsure"])]
        print(json.dumps({"wrong": wrong[:20], "orphans": orphans()}), flush=True)
        connection.close()


if __name__ == "__main__":
    django.setup()
    main()

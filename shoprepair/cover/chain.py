"""The chain of covers: each carries a digest over its contents and its predecessor's digest.

Whoever changes, takes out or slips in a record outside the program breaks the chain at that place.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext

from shoprepair.cover import record
from shoprepair.cover.models import Cover
from shoprepair.cover.reading import Record, UnreadableRecord, read_text
from shoprepair.cover.visit import photo_digest
from shoprepair.shop.models import Counter
from shoprepair.shop.numbers import next_number

SERIES = "cover"
AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Broken:
    """The first cover at which the chain does not hold, and what is wrong with it, in a sentence."""

    number: int
    what: str


def next_link() -> tuple[int, str]:
    """The next cover's number and the digest it follows, within the transaction that writes it.

    Taking the number holds the series until then: of two hand-backs at once, the second sees the first's.
    """
    number = next_number(SERIES)
    before = Cover.objects.order_by("-number").values_list("digest", flat=True).first()
    return number, before or ""


def columns(read: Record) -> dict[str, Any]:
    """What stands beside the contents for lists and counts, as the contents say it."""
    first = read.damages[0] if read.damages else None
    return {
        "number": read.number,
        "given_at": read.given_at,
        "until": read.until,
        "operation": read.repair.operation,
        "operation_name": read.repair.name,
        "kind": first.kind if first else "",
        "element": first.place.element.value if first else "",
        "cloth": read.cloth,
        "techs": list(read.techs),
        "lots": list(map(str, read.lots)),
    }


def first_broken() -> Broken | None:
    """The first record that was changed outside the program; None while the chain holds."""
    return next(_broken(Cover.objects.select_related("job").order_by("number").iterator(AT_ONCE)), None)


def first_photo_changed() -> Broken | None:
    """The first cover of which a photo is another one than was kept that day; None while all are the same.

    One that is gone is not counted: photos may be asked back by whoever they show.
    """
    for cover in Cover.objects.order_by("number").iterator(AT_ONCE):
        for photo in read_text(cover.contents).photos:
            if photo.sha256 and photo_digest(photo.key) not in ("", photo.sha256):
                return Broken(
                    cover.number,
                    gettext("A photo of cover %(cover)s was changed: %(key)s.")
                    % {"cover": cover, "key": photo.key},
                )
    return None


def _broken(covers: Iterable[Cover]) -> Iterator[Broken]:
    expected, previous = 1, ""
    for cover in covers:
        if cover.number != expected:
            yield Broken(
                expected,
                gettext("Cover %(expected)s is missing: it was taken out of the records.")
                % {"expected": f"{expected:05d}"},
            )
        if what := _wrong(cover, previous):
            yield Broken(cover.number, gettext("Cover %(cover)s %(what)s") % {"cover": cover, "what": what})
        expected, previous = cover.number + 1, cover.digest
    taken = Counter.objects.filter(pk=SERIES).values_list("value", flat=True).first() or 0
    if taken >= expected:
        yield Broken(
            expected,
            gettext("Cover %(expected)s is missing: it was taken out of the records.")
            % {"expected": f"{expected:05d}"},
        )


def _wrong(cover: Cover, previous: str) -> str:
    """What is wrong with one cover after the one before it, to follow its number; empty: nothing."""
    if cover.digest != record.digest(cover.previous, cover.contents):
        return gettext("was changed: its contents no longer give its digest.")
    if cover.previous != previous:
        return gettext("does not follow the cover before it: one of the two was put in from elsewhere.")
    try:
        read = read_text(cover.contents)
    except UnreadableRecord as refusal:
        return gettext("cannot be read. %(refusal)s") % {"refusal": refusal}
    if record.canonical(json.loads(cover.contents)) != cover.contents:
        return gettext(
            "was not written by this program: its contents are not in the form in which they are kept."
        )
    beside = columns(read) | {"inflatable_id": read.gear.inflatable}
    if changed := [name for name, value in beside.items() if getattr(cover, name) != value]:
        return gettext("was changed beside its contents: %(join)s.") % {"join": ", ".join(changed)}
    return "" if cover.job.number == read.job else gettext("was changed beside its contents: job.")

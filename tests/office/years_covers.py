"""Ten years of covers in one chain, and the claims that were held against them."""

import datetime
import hashlib
import json

from shoprepair.cover.models import Claim, Cover
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.models import Staff
from shoprepair.work.models import HandBack

DAY = datetime.timedelta(days=1)
KINDS = ("cut", "hole", "scuff", "seam opened", "burst")
ELEMENTS = ("leading edge", "strut", "canopy")


def covers(given: list[HandBack]) -> list[Cover]:
    """One for each hand-back, in one chain; each says only what its columns say."""
    made, previous = [], ""
    for number, back in enumerate(given, 1):
        says = {"format": 1, "number": number, "given_at": back.at.isoformat(), "until": None}
        contents = json.dumps(says, sort_keys=True, separators=(",", ":"))
        digest = hashlib.sha256(f"{previous}\n{contents}".encode()).hexdigest()
        made.append(
            Cover(
                number=number,
                inflatable_id=back.job.inflatable_id,
                job=back.job,
                hand_back=back,
                given_at=back.at,
                operation=f"patch-{number % 3 + 1}",
                operation_name=f"Patch {number % 3 + 1}",
                kind=KINDS[number % 5],
                element=ELEMENTS[number % 3],
                cloth="polyester casing cloth, 170 g/m²",
                techs=["Tomek" if number % 2 else "Signe"],
                lots=[f"Casing cloth 1 · R{number // 50}"],
                contents=contents,
                previous=previous,
                digest=digest,
            )
        )
        previous = digest
    return Cover.objects.bulk_create(made)


def claims(given: list[Cover], visits: list[Job], who: Staff, now: datetime.datetime) -> None:
    """One for every twentieth cover, held by a later visit; two wait to be decided."""
    damages = list(Damage.objects.filter(number=1).order_by("job__number"))
    held = [
        (cover, damages[place + 10])
        for place, cover in enumerate(given)
        if place % 20 == 5 and place + 10 < len(damages)
    ]
    open_ones = len(held) - 2
    Claim.objects.bulk_create(
        Claim(
            number=number,
            cover=cover,
            damage=damage,
            job_id=damage.job_id,
            proposal="owner",
            made_by=who,
            made_at=now - 3 * DAY if number > open_ones else damage.created_at,
            decision="" if number > open_ones else ("ours", "new")[number % 2],
            words="" if number > open_ones else "It tore along our row.",
            decided_by=None if number > open_ones else who,
            decided_at=None if number > open_ones else damage.created_at + DAY,
        )
        for number, (cover, damage) in enumerate(held, 1)
    )

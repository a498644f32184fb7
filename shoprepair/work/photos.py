"""Photos taken at the bench: each tied to a step and, where it is about one, to a damage."""

from typing import IO

from django.db import transaction
from django.utils.translation import gettext

from shoprepair.jobs import photos
from shoprepair.jobs.models import Damage, Job, Photo
from shoprepair.jobs.photos import Picture
from shoprepair.shop.models import Staff
from shoprepair.work.models import Step, StepPhoto

Moment = StepPhoto.Moment
_INSIDE = (Step.Kind.OPEN, Step.Kind.DRAW, Step.Kind.REPAIR)


def keep(
    step: Step,
    file: IO[bytes] | Picture,
    moment: str,
    *,
    who: Staff,
    damage: Damage | None = None,
    shared: bool = False,
    caption: str = "",
) -> Photo:
    """Keep a photo of a step: before, inside or after. Raises ValueError with a sentence.

    A step about one damage alone gives its photo to that damage.
    """
    if moment not in Moment.values:
        raise ValueError(gettext("Say whether it shows the place before, inside or after."))
    picture = file if isinstance(file, dict) else photos.read(file)
    with transaction.atomic():
        of = damage or _only_damage(step)
        photo = photos.keep(step.job, picture, who=who, damage=of, caption=caption)
        StepPhoto.objects.create(photo=photo, step=step, moment=moment)
        if shared:
            photos.share(photo, True, who=who)
    return photo


def by_step(job: Job) -> dict[int, list[StepPhoto]]:
    """The photos that stand, by step id, in one statement."""
    found: dict[int, list[StepPhoto]] = {}
    kept = StepPhoto.objects.filter(photo__job=job, photo__removed_at=None).exclude(step=None)
    for each in kept.select_related("photo__damage").order_by("pk"):
        found.setdefault(each.step_id or 0, []).append(each)
    return found


def usual_moment(step: Step) -> str:
    """What a photo of this step most likely shows."""
    if step.state == Step.State.DONE and step.kind not in (Step.Kind.OPEN, Step.Kind.DRAW):
        return Moment.AFTER
    return Moment.INSIDE if step.kind in _INSIDE else Moment.AFTER


def _only_damage(step: Step) -> Damage | None:
    if len(step.damages) != 1:
        return None
    return Damage.objects.filter(job=step.job_id, number=step.damages[0], removed_at=None).first()

"""The photographs of what is found, kept on the job as the counter would keep them."""

import io
from collections.abc import Sequence
from random import Random

from shoprepair.jobs import photos
from shoprepair.jobs.models import Damage, Job
from shoprepair.mechanics.description import Element, FindingKind
from shoprepair.office.demo import camera
from shoprepair.office.demo.finds import Find
from shoprepair.office.demo.people import Crew

DYES = {
    "white": (222, 218, 206),
    "sea": (38, 104, 116),
    "amber": (206, 164, 62),
    "navy": (60, 72, 120),
    "moss": (88, 116, 62),
    "coral": (188, 66, 48),
    "plum": (120, 62, 104),
    "grey": (150, 152, 148),
}
ON_TUBES = (
    Element.LEADING_EDGE,
    Element.STRUT,
    Element.VALVE,
    Element.HOSE,
    Element.HANDLE,
    Element.BRIDLE_POINT,
)
USUAL_LENGTH_M = {FindingKind.BURST: 0.5, FindingKind.STITCHING: 0.08}


def photograph(job: Job, finds: Sequence[Find], found: Sequence[Damage], crew: Crew, rng: Random) -> None:
    """Keep a photo of each find that says so."""
    dye = DYES[(job.inflatable.colour or "grey").split()[0]]
    for find, damage in zip(finds, found, strict=True):
        if find.photo:
            kind = FindingKind(damage.kind)
            length_m = damage.length_m or USUAL_LENGTH_M.get(kind, 0.15)
            on_tube = damage.element in ON_TUBES
            jpeg = camera.photograph(kind, rng, colour=dye, length_m=length_m, tube=on_tube)
            photos.keep(job, io.BytesIO(jpeg), damage=damage, who=crew.counter)

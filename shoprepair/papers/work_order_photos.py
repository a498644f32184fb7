"""The photos on a work order: the first ones of the job, with what stands in for one that cannot be had."""

from typing import NamedTuple

from shoprepair.jobs import photos
from shoprepair.jobs.models import Damage, Job
from shoprepair.papers import asked_again
from shoprepair.papers.printing.order import Picture
from shoprepair.papers.render import jpeg, svg
from shoprepair.shop.languages import gettext_lazy, kept_by_language

SIZE = "small"
"""400 pixels on four centimetres of paper are more than its printer shows."""
MISSING = gettext_lazy("This photo cannot be had just now. Print the work order again later.")
_WORDS = (
    gettext_lazy("This photo cannot"),
    gettext_lazy("be had just now."),
    gettext_lazy("Print again later."),
)


class Shot(NamedTuple):
    """A photo as it stands on paper."""

    name: str
    damage: Damage | None
    caption: str
    picture: Picture
    missing: str = ""
    """What is said in place of a photo that cannot be had."""


def of(job: Job, most: int) -> list[Shot]:
    """The first photos of the job that are there. A store that is away is asked once."""
    shots: list[Shot] = []
    away = False
    for photo in job.photos.filter(removed_at=None).select_related("damage"):
        if len(shots) == most:
            break
        picture = None
        try:
            picture = None if away else jpeg(photos.file(photo, SIZE).read_bytes())
        except FileNotFoundError:
            asked_again.not_for_long()
            continue
        except OSError:
            asked_again.not_for_long()
            away = True
        missing = "" if picture else MISSING
        shots.append(Shot(photo.key, photo.damage, photo.caption, picture or _placeholder(), missing))
    return shots


@kept_by_language(8)
def _placeholder() -> Picture:
    lines = "".join(f'<tspan x="200" dy="46">{line}</tspan>' for line in _WORDS)
    return svg(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">'
        '<rect x="2" y="2" width="396" height="296" fill="#fff" stroke="#15252b" stroke-width="3" '
        'stroke-dasharray="12 8"/>'
        f'<text y="74" font-family="Atkinson Hyperlegible Next" font-size="34" text-anchor="middle">{lines}'
        "</text></svg>"
    )

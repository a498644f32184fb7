"""The zone diagram of a job for paper: load by hatch, damages pinned by number."""

import re
from collections.abc import Sequence

from shoprepair.gear import diagram
from shoprepair.gear.describe import description, planform
from shoprepair.gear.diagram.pins import TAG_SHARE, tag_height
from shoprepair.gear.diagram.plan import framed
from shoprepair.gear.diagram.view import View, view
from shoprepair.gear.models import Pattern
from shoprepair.gear.shape import shape
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.settings import cases
from shoprepair.shop.units import Units

SMALLEST_MM = 2.54
"""Letters of 7.2 points: nothing on paper is smaller than 7."""
NUMBER_SHARE = 0.64
"""Size of a tag's number over its height."""
_BOX = re.compile(r'viewBox="([^"]+)"')
_SIDE_WORDS = re.compile(r'(?<=<g class="side-words").*?</g>', flags=re.DOTALL)
_SIZE = re.compile(r'font-size="([^"]+)"')


def readable(drawing: str, wide_mm: float, high_mm: float) -> str:
    """The drawing with words for its sides that can be read when it is shown in a box of that size."""
    box = _BOX.search(drawing)
    if box is None:
        return drawing
    wide, high = map(float, box[1].split()[2:])
    least = SMALLEST_MM / min(wide_mm / wide, high_mm / high)

    def grown(words: re.Match[str]) -> str:
        return _SIZE.sub(lambda size: f'font-size="{max(float(size[1]), least):.4g}"', words[0])

    return _SIDE_WORDS.sub(grown, drawing)


def drawing(
    job: Job,
    damages: Sequence[Damage],
    box_mm: tuple[float, float],
    tag_share: float = TAG_SHARE,
    units: Units | None = None,
    most_tags: int | None = None,
) -> str:
    """The SVG of the job's inflatable with these damages on it; their tags that high over its width.

    `box_mm` is the least room that it is given on the paper, where everything on it can still be read. With
    `units` span, chord and tube stand round it in them. Of more than `most_tags` damages it shows the points
    alone: a drawing that small would be nothing but tags.
    """
    pattern = job.inflatable.pattern
    drawn = planform(pattern)
    measured = diagram.measures(drawn, units) if units else None
    bare = view(shape(drawn))
    on = framed(bare) if measured else bare
    sheet = diagram.draw(
        drawn,
        detail="paper",
        load=diagram.load_map(drawn, description(pattern), cases()),
        pins=[_pin(damage) for damage in damages],
        title=str(pattern),
        unique="drawing",
        tag_share=tag_share * _tags_grown(on, len(damages), box_mm, tag_share),
        tagged=most_tags is None or len(damages) <= most_tags,
        measured=measured,
    )
    return readable(sheet, *box_mm)


def undamaged(pattern: Pattern, box_mm: tuple[float, float]) -> str:
    """The SVG of a pattern as it is cut, with its load, where it is given that room."""
    drawn = planform(pattern)
    load = diagram.load_map(drawn, description(pattern), cases())
    sheet = diagram.draw(drawn, detail="paper", load=load, title=str(pattern), unique="drawing")
    return readable(sheet, *box_mm)


def _tags_grown(on: View, count: int, box_mm: tuple[float, float], share: float) -> float:
    """How much larger the tags must be for their numbers to be read."""
    scale = min(box_mm[0] / on.width_m, box_mm[1] / on.height_m)
    return max(1.0, SMALLEST_MM / (scale * NUMBER_SHARE * tag_height(count, on, share)))


def _pin(damage: Damage) -> diagram.Pin:
    judged = bool(damage.model_version)
    return diagram.Pin(
        number=damage.number, x_m=damage.x_m, y_m=damage.y_m, band=damage.band if judged else ""
    )

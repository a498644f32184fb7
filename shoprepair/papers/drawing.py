"""The zone diagram of a job for paper: load by hatch, damages pinned by number."""

from collections.abc import Sequence

from shoprepair.gear import diagram
from shoprepair.gear.describe import description, planform
from shoprepair.gear.diagram.pins import TAG_SHARE
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.settings import cases


def drawing(job: Job, damages: Sequence[Damage], tag_share: float = TAG_SHARE) -> str:
    """The SVG of the job's inflatable with these damages on it; their tags that high over its width."""
    pattern = job.inflatable.pattern
    drawn = planform(pattern)
    return diagram.draw(
        drawn,
        detail="paper",
        load=diagram.load_map(drawn, description(pattern), cases()),
        pins=[_pin(damage) for damage in damages],
        title=pattern.name,
        unique="drawing",
        tag_share=tag_share,
    )


def _pin(damage: Damage) -> diagram.Pin:
    judged = bool(damage.model_version)
    return diagram.Pin(
        number=damage.number, x_m=damage.x_m, y_m=damage.y_m, band=damage.band if judged else ""
    )

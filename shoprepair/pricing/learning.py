"""How long operations really take: what the bench measured against what the catalogue said."""

from dataclasses import dataclass
from decimal import Decimal
from statistics import quantiles

from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import MeasuredMinutes, Operation

ENOUGH = 5
"""With fewer measurements the middle one says more about the day than about the operation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Measured over estimated minutes of one operation: the middle, the quartiles, the extremes."""

    count: int
    median_ratio: float | None
    low: float | None
    """A quarter of the measurements lie below."""
    high: float | None
    """A quarter of the measurements lie above."""
    least: float | None
    most: float | None
    suggested_minutes: Decimal | None
    """For setting up, as measured; None while there are too few measurements."""
    suggested_per_m: Decimal | None
    suggested_per_m2: Decimal | None
    sentence: str
    differs: bool
    """Whether what is suggested is other than what the catalogue says now."""


def measured(job: Job, operation: Operation, estimated: Decimal, measured: Decimal) -> MeasuredMinutes:
    """Keep what an operation took on a job, in minutes, beside its estimate. Raises ValueError for none."""
    if estimated <= 0 or measured <= 0:
        raise ValueError(gettext("Minutes that were estimated or measured are more than nought."))
    return MeasuredMinutes.objects.create(
        job=job, operation=operation, estimated=estimated, measured=measured, at=timezone.now()
    )


def learned(operation: Operation) -> Learned:
    """What the measurements of an operation say. None is left out, however far off it lies."""
    pairs = operation.measured.filter(estimated__gt=0).values_list("measured", "estimated")
    ratios = sorted(float(measured / estimated) for measured, estimated in pairs)
    low, middle, high = _quartiles(ratios)
    enough = len(ratios) >= ENOUGH
    now = (operation.set_up_minutes, operation.minutes_per_m, operation.minutes_per_m2)
    suggested = [_scaled(minutes, middle) if enough else None for minutes in now]
    return Learned(
        count=len(ratios),
        median_ratio=middle,
        low=low,
        high=high,
        least=ratios[0] if ratios else None,
        most=ratios[-1] if ratios else None,
        suggested_minutes=suggested[0],
        suggested_per_m=suggested[1],
        suggested_per_m2=suggested[2],
        sentence=_sentence(ratios, low, middle, high),
        differs=enough and suggested != list(now),
    )


def _quartiles(ratios: list[float]) -> tuple[float | None, float | None, float | None]:
    if not ratios:
        return None, None, None
    if len(ratios) == 1:
        return ratios[0], ratios[0], ratios[0]
    low, middle, high = quantiles(ratios, n=4, method="inclusive")
    return low, middle, high


def _scaled(minutes: Decimal, ratio: float | None) -> Decimal | None:
    return None if ratio is None else (minutes * Decimal(ratio)).quantize(Decimal("0.1"))


def _sentence(ratios: list[float], low: float | None, middle: float | None, high: float | None) -> str:
    if not ratios:
        return gettext("Not measured yet.")
    if len(ratios) == 1:
        return gettext(
            "Measured once, at %(ratio)s times the estimate: too few to suggest other minutes; "
            "%(ENOUGH)s are needed."
        ) % {"ratio": f"{ratios[0]:.2f}", "ENOUGH": ENOUGH}
    times = gettext("%(ratios)s times") % {"ratios": len(ratios)}
    spread = gettext("from %(ratios)s to %(ratios_2)s times the estimate") % {
        "ratios": f"{ratios[0]:.2f}",
        "ratios_2": f"{ratios[-1]:.2f}",
    }
    if len(ratios) < ENOUGH:
        return gettext(
            "Measured %(times)s, %(spread)s: too few to suggest other minutes; %(ENOUGH)s are needed."
        ) % {"times": times, "spread": spread, "ENOUGH": ENOUGH}
    return gettext(
        "Measured %(times)s, %(spread)s: half of them between %(low)s and %(high)s, the middle %(middle)s."
    ) % {
        "times": times,
        "spread": spread,
        "low": f"{low:.2f}",
        "high": f"{high:.2f}",
        "middle": f"{middle:.2f}",
    }

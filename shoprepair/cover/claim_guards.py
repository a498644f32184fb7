"""What claims ask of the stages of a job: nobody is sent a price for what is ours. Covers keep the model."""

from django.utils.translation import gettext

from shoprepair.cover.models import Claim, Cover
from shoprepair.gear.models import Inflatable
from shoprepair.jobs import repin, stages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing.models import Quote
from shoprepair.pricing.quotes import finding


def nothing_of_ours_is_priced(job: Job) -> str:
    """What another job mends at nought is not quoted here, neither anew nor by an older quote."""
    ours = Claim.objects.filter(job=job, decision=Claim.Decision.OURS).exclude(remedy=None)
    elsewhere = dict(ours.exclude(remedy=job).values_list("damage__number", "remedy__number"))
    if not elsewhere:
        return ""
    live = set(job.damages.filter(removed_at=None).values_list("number", flat=True))
    if here := sorted(live & set(elsewhere)):
        return gettext("Damage %(here)s is ours: job %(elsewhere)s mends it. Take it off this job again.") % {
            "here": here[0],
            "elsewhere": f"{elsewhere[here[0]]:04d}",
        }
    quote = finding.whole(job)
    if priced := sorted(_asked(quote) & set(elsewhere)):
        return gettext(
            "The quote still asks for damage %(priced)s, which is ours. Write a new one without it."
        ) % {"priced": priced[0]}
    return ""


def nought_is_still_ours(job: Job) -> str:
    """A quote at nought holds as long as all that it mends is ours."""
    quote = finding.whole(job)
    if quote is None or not quote.warranty:
        return ""
    reopened = Claim.objects.filter(job=job).exclude(decision=Claim.Decision.OURS)
    if numbers := sorted(_asked(quote) & set(reopened.values_list("damage__number", flat=True))):
        return gettext(
            "The quote is at no charge, but damage %(numbers)s is not ours (any more). Write a new one."
        ) % {"numbers": numbers[0]}
    return ""


def no_cover_hangs_on_it(inflatable: Inflatable) -> str:
    """A footprint lies on the tubes of the model that was mended."""
    cover = Cover.objects.filter(inflatable=inflatable).order_by("pk").first()
    return (
        gettext("Cover %(number)s was given for the model it is now.") % {"number": f"{cover.number:05d}"}
        if cover
        else ""
    )


def keep_ways() -> None:
    """Put the guards on the ways between stages, and on the model of what is covered."""
    repin.add_guard(no_cover_hangs_on_it)
    for guard in (nothing_of_ours_is_priced, nought_is_still_ours):
        stages.add_guard(Stage.ASSESSED, Stage.QUOTE_OUT, guard)
        stages.add_guard(Stage.QUOTE_OUT, Stage.GO_AHEAD, guard)


def _asked(quote: Quote | None) -> set[int]:
    """Numbers of the damages that a quote mends or reaches."""
    if quote is None:
        return set()
    return {number for numbers in quote.lines.values_list("damages", flat=True) for number in numbers}

"""The letter that tells a customer what was decided about a claim."""

from functools import partial

from shoprepair.cover.models import Claim
from shoprepair.jobs import links
from shoprepair.jobs.words import damage_title
from shoprepair.shop import outbox, settings
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units, units_for

DECIDED = {
    Claim.Decision.OURS: gettext_lazy("It is ours: we mend it, and you pay nothing for it."),
    Claim.Decision.NEW: gettext_lazy(
        "It is a new damage, not our repair’s. What mending it costs stands in its quote."
    ),
}
"""What a decision means, as the customer reads it."""


def write(claim: Claim, *, who: Staff, base_url: str = "") -> None:
    """Put the letter into the outbox, where the customer has an e-mail address."""
    job, shop = claim.job, settings.current()
    link = links.make(job, who=who)
    if not job.customer.email:
        return
    claim.damage.job = job
    outbox.write(
        job.customer.email,
        "claim-decided",
        partial(_context, claim, links.url(link, base_url or shop.web_address), units_for(None, shop)),
        about=job,
    )


def _context(claim: Claim, link: str, units: Units) -> dict[str, str]:
    job = claim.job
    return {
        "customer": job.customer.name,
        "job": str(job),
        "gear": str(job.inflatable),
        "link": link,
        "damage": damage_title(claim.damage, units),
        "decision": str(DECIDED[Claim.Decision(claim.decision)]),
        "words": claim.words,
    }

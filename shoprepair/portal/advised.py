"""What an enquiry was answered. Until the shop has seen the gear, that stands, and no figure beside it."""

from collections.abc import Sequence
from typing import NamedTuple

from django.utils.translation import gettext

from shoprepair.jobs.advice import Verdict, read
from shoprepair.jobs.enquiries import advised as kept
from shoprepair.jobs.models import Enquiry
from shoprepair.portal.findings import Finding
from shoprepair.portal.self_check.address import Address
from shoprepair.shop.languages import gettext_lazy

BANDS = {
    Verdict.BRING_IN: gettext_lazy("Grounded"),
    Verdict.GET_HOME: gettext_lazy("Repair first"),
    Verdict.FIX_YOURSELF: gettext_lazy("Next service"),
    Verdict.RIDE_ON: gettext_lazy("Watch"),
}
"""Which colour and hatch a verdict has on this page."""


class Advised(NamedTuple):
    """The strictest answer that was given, and where it can be read again."""

    answer: str
    band: str
    path: str
    """Empty where what was told can no longer be read."""


def advised(enquiry: Enquiry) -> Advised | None:
    """What was advised about all that was told; None where nothing was."""
    if (strictest := kept.strictest(enquiry)) is None:
        return None
    return Advised(str(strictest.title), BANDS[strictest], _path(enquiry))


def beside(found: Sequence[Finding], enquiry: Enquiry) -> list[Finding]:
    """The findings as they were told, each with what was advised in place of figures."""
    said = kept.verdicts(enquiry)
    return [_as_told(finding, said.get(finding.number)) for finding in found]


def _as_told(finding: Finding, verdict: Verdict | None) -> Finding:
    if verdict is None:
        return finding._replace(band="", reason="")
    return finding._replace(band="", reason=gettext("We said: %(title)s.") % {"title": verdict.title})


def _path(enquiry: Enquiry) -> str:
    try:
        *also, last = (read(row["code"]) for row in enquiry.told)
    except (KeyError, ValueError):
        return ""
    return Address(told=last, also=tuple(also), language=enquiry.language).to()

"""Claims: those to decide first, with how long they wait, then what was decided and what it cost."""

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shoprepair.cover import claim_words, claims, costs
from shoprepair.cover.models import Claim
from shoprepair.jobs.words import damage_title
from shoprepair.shop.access import owner_only
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.units import Units

A_PAGE = 25
ROWS_SHOWN = 12
FEW_COVERS, FEW_CLAIMS = 30, 5
"""With fewer the share says more about chance than about the repair."""
BY = {
    "operation": gettext_lazy("Operation"),
    "tech": gettext_lazy("Who sewed"),
    "lot": gettext_lazy("Lot"),
    "cloth": gettext_lazy("Cloth"),
}


class Row(NamedTuple):
    """One claim as the list shows it."""

    claim: Claim
    what: str
    url: str
    age: str
    """How long it has waited, or what it was decided as."""
    proposed: str
    decided: str = ""
    cost: Decimal | None = None


@owner_only
@require_safe
def every_claim(request: HttpRequest) -> HttpResponse:
    """Every claim of the shop."""
    units: Units = request.units
    by = request.GET.get("by", "")
    by = by if by in BY else "operation"
    pages = Paginator(claims.decided(), A_PAGE)
    decided = pages.get_page(request.GET.get("page"))
    counted = [row for row in costs.by(by) if row.claims]
    shown = {
        "waiting": [_row(claim, units) for claim in claims.waiting()],
        "lapsed": [_row(claim, units) for claim in claims.lapsed()],
        "decided": list(_decided(decided.object_list, units)),
        "page": decided,
        "by": by,
        "by_name": BY[by],
        "ways": BY.items(),
        "rows": counted[:ROWS_SHOWN],
        "rows_more": counted[ROWS_SHOWN:],
        "few_covers": FEW_COVERS,
        "few_claims": FEW_CLAIMS,
        "currency": request.shop.currency,
    }
    return render(request, "office/claims.html", shown)


def _decided(some: Iterable[Claim], units: Units) -> Iterable[Row]:
    listed = list(some)
    cost = costs.of_each(listed)
    return (_row(claim, units, cost[claim.pk]) for claim in listed)


def _row(claim: Claim, units: Units, cost: Decimal | None = None) -> Row:
    claim.damage.job = claim.job
    since, today = timezone.localdate(claim.made_at), timezone.localdate()
    ours = claim.decision == Claim.Decision.OURS
    return Row(
        claim=claim,
        what=damage_title(claim.damage, units),
        url=reverse("claim", args=[claim.job.number, claim.damage.number]),
        age=claim_words.age(since, today) if since < today else "today",
        proposed=claim_words.PROPOSED[claim.proposal],
        decided=claim_words.DECIDED[Claim.Decision(claim.decision)] if claim.decision else "",
        cost=cost if ours else None,
    )

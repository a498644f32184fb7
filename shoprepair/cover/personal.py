"""What covers hold about a customer. A cover names nobody, so it stays as it is, and its chain with it."""

from collections.abc import Iterable, Iterator

from django.db.models import Q, QuerySet
from django.utils.translation import gettext

from shoprepair.cover.models import Claim, Cover, Ending, Transfer
from shoprepair.jobs.forgetting import write_over
from shoprepair.jobs.models import Customer
from shoprepair.jobs.personal import Erasure, Part, Row, Section
from shoprepair.jobs.told import row
from shoprepair.shop.models import Letter


def tell(customer: Customer) -> Iterator[Section]:
    """Covers of their visits, claims found in them, and gear that passed to them or from them."""
    covers = Cover.objects.filter(job__customer=customer).select_related("job", "ending").order_by("pk")
    yield Section("covers", gettext("Covers"), [_cover(cover) for cover in covers])
    claims = Claim.objects.filter(job__customer=customer).select_related("job", "cover").order_by("pk")
    yield Section("claims", gettext("Claims"), [_claim(claim) for claim in claims])
    transfers = _transfers(customer).select_related("inflatable__pattern").order_by("pk")
    passed = [_transfer(each, customer) for each in transfers]
    yield Section("transfers", gettext("Gear that passed on"), passed)


def refuse(customer: Customer) -> Iterable[str]:
    """What still awaits an answer."""
    for claim in Claim.objects.filter(job__customer=customer, decision=Claim.Decision.OPEN):
        yield gettext("Claim %(claim)s is still to be decided.") % {"claim": claim}
    under_way = _transfers(customer).filter(done_at=None, ended_at=None)
    for transfer in under_way.select_related("inflatable__pattern"):
        yield gettext("%(inflatable)s is offered to a new owner; end that first.") % {
            "inflatable": transfer.inflatable
        }


def know(erasure: Erasure) -> None:
    """What the journal calls their claims."""
    claims = Claim.objects.filter(job__in=erasure.jobs).values_list("number", flat=True)
    erasure.subjects.update(f"claim:{number}" for number in claims)


def erase(erasure: Erasure) -> None:
    """Names among the words of claims, transfers and endings; the covers themselves name nobody."""
    write_over(Claim.objects.filter(job__in=erasure.jobs), erasure, "words")
    transfers = _transfers(erasure.customer)
    write_over(transfers, erasure, "note")
    # To the other side it was written who they are.
    letters = Letter.objects.filter(about__in=[f"transfer:{each.pk}" for each in transfers])
    write_over(letters, erasure, "to", "subject", "body")
    endings = Ending.objects.filter(cover__inflatable__in=erasure.gear)
    write_over(endings.filter(who=None), erasure, "who_name", "note")
    write_over(endings.exclude(who=None), erasure, "note")


def _transfers(customer: Customer) -> "QuerySet[Transfer]":
    return Transfer.objects.filter(Q(giver=customer) | Q(taker=customer))


def _cover(cover: Cover) -> Row:
    ending = getattr(cover, "ending", None)
    ended = {"ended": ending.get_reason_display()} | row(ending, "at note") if ending else {}
    return (
        {"job": cover.job.number} | row(cover, "number operation_name given_at until contents digest") | ended
    )


def _claim(claim: Claim) -> Row:
    about = {"job": claim.job.number, "cover": claim.cover.number, "decision": claim.get_decision_display()}
    return about | row(claim, "number made_at words decided_at")


def _transfer(transfer: Transfer, customer: Customer) -> Row:
    side = gettext("from this customer") if transfer.giver_id == customer.pk else gettext("to this customer")
    about = {"gear": str(transfer.inflatable), "passed": side}
    return about | row(transfer, "offered_at note done_at ended_at")


PART = Part(tell=tell, refuse=refuse, know=know, erase=erase)

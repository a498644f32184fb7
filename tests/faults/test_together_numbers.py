"""Twenty who write at the same moment: each gets a number, none is left out, and nobody meets an error."""

import threading
import time
from collections.abc import Callable

import pytest
from django.db import connection, transaction

from shoprepair.gear.models import Inflatable
from shoprepair.jobs import checkin
from shoprepair.jobs.models import Customer, Job, Ownership
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from tests.factories import PatternFactory

pytestmark = pytest.mark.django_db(transaction=True)
WRITERS = 20


def all_at_once(*doings: Callable[[], object]) -> tuple[list[BaseException], list[float]]:
    """Each over a connection of its own: what they met with, and how many seconds each took."""
    start, met, took = threading.Barrier(len(doings)), [], []

    def do(doing: Callable[[], object]) -> None:
        start.wait()
        began = time.monotonic()
        try:
            doing()
        except Exception as error:
            met.append(error)
        finally:
            took.append(time.monotonic() - began)
            connection.close()

    threads = [threading.Thread(target=do, args=(doing,)) for doing in doings]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return met, took


def wings(many: int) -> list[tuple[Customer, Inflatable]]:
    """Customers with a wing each."""
    pattern = PatternFactory()
    customers = Customer.objects.bulk_create(
        [Customer(name=f"Ilka Sandvoort {n}", phone=f"+1 555 0{n:04d}") for n in range(many)]
    )
    made = Inflatable.objects.bulk_create([Inflatable(pattern=pattern) for _ in range(many)])
    pairs = list(zip(customers, made, strict=True))
    Ownership.objects.bulk_create([Ownership(customer=whose, inflatable=wing) for whose, wing in pairs])
    return pairs


def checks_in(customer: Customer, wing: Inflatable, who: Staff, *, fails: bool) -> Callable[[], object]:
    """Begin a visit; with `fails`, something after it goes wrong and all of it is taken back."""

    @transaction.atomic
    def begin() -> None:
        checkin.start(customer, wing, who=who)
        if fails:
            raise LookupError

    return begin


@pytest.mark.parametrize("each", [1, pytest.param(50, marks=pytest.mark.soak)])
def test_twenty_who_check_in_at_once_get_every_number_once_and_leave_none_out(
    counter: Staff, each: int
) -> None:
    pairs = wings(WRITERS * each)

    def of(writer: int) -> Callable[[], None]:
        mine = pairs[writer * each : (writer + 1) * each]

        def work() -> None:
            for place, (customer, wing) in enumerate(mine):
                if (writer + place) % 4 == 0:
                    with pytest.raises(LookupError):
                        checks_in(customer, wing, counter, fails=True)()
                checks_in(customer, wing, counter, fails=False)()

        return work

    met, took = all_at_once(*map(of, range(WRITERS)))
    assert met == []
    assert sorted(Job.objects.values_list("number", flat=True)) == list(range(1, len(pairs) + 1))
    started = journal.JournalEntry.objects.filter(verb="job.started")
    assert sorted(started.values_list("subject", flat=True)) == sorted(
        f"job:{n + 1}" for n in range(len(pairs))
    )
    print(f"{len(pairs)} check-ins by {WRITERS} at once: the slowest was done after {max(took):.2f} s")


def test_twenty_who_want_the_same_wing_checked_in_begin_one_visit(counter: Staff) -> None:
    [(customer, wing)] = wings(1)
    met, _ = all_at_once(*[lambda: checkin.start(customer, wing, who=counter)] * WRITERS)
    assert met == []
    assert [job.number for job in Job.objects.all()] == [1]

"""What happens when two answer, or one answers and one sends, at the same moment."""

import threading
from collections.abc import Callable

import pytest
from django.db import connection

from shoprepair.jobs.models import Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.shop import journal
from shoprepair.shop.models import Letter
from tests.factories import StaffFactory, quoted
from tests.pricing.quoting import answered, assessed

State = Quote.State
BASE = "https://loft.example"


def at_once(*doings: Callable[[], object]) -> list[Exception | None]:
    """Does all of them at the same moment, each over its own connection; answers what each met with."""
    start, met = threading.Barrier(len(doings)), dict.fromkeys(range(len(doings)))

    def do(place: int) -> None:
        start.wait()
        try:
            doings[place]()
        except ValueError as refused:
            met[place] = refused
        finally:
            connection.close()

    threads = [threading.Thread(target=do, args=(place,)) for place in range(len(doings))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return list(met.values())


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", range(4))
def test_when_the_customer_accepts_while_a_newer_quote_is_sent_one_of_them_wins(turn: int) -> None:
    who, job = StaffFactory(), assessed()
    quote = quoted(job, who)
    newer = quotes.revise(quote, who=who)
    customer, shop = at_once(
        lambda: answered(Quote.objects.get(pk=quote.pk)),
        lambda: quotes.send(newer, who=who, version=1, base_url=BASE),
    )
    states = [each.state for each in quotes.versions(job)]
    job.refresh_from_db()
    if customer is None:
        assert isinstance(shop, quotes.Stale)
        assert "accepted quote 1" in str(shop)
        assert (states, job.stage) == ([State.DRAFT, State.ACCEPTED], Stage.GO_AHEAD)
    else:
        assert shop is None
        assert "There is a newer quote in place of this one." in str(customer)
        assert (states, job.stage) == ([State.OUT, State.REPLACED], Stage.QUOTE_OUT)


@pytest.mark.django_db(transaction=True)
def test_a_double_tap_on_accept_is_one_answer() -> None:
    quote = quoted(assessed(), StaffFactory())
    shown = Quote.objects.get()
    met = at_once(*[lambda: answered(Quote.objects.get(pk=quote.pk), version=shown.version)] * 3)
    assert met == [None, None, None]
    assert journal.entries(quote.job).filter(verb="quote.accepted").count() == 1
    assert Letter.objects.filter(code="go-ahead-received").count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_a_yes_and_a_no_at_the_same_moment_one_stands() -> None:
    quote = quoted(assessed(), StaffFactory())
    shown = Quote.objects.get()
    yes, no = at_once(
        lambda: answered(Quote.objects.get(pk=quote.pk), version=shown.version),
        lambda: answered(Quote.objects.get(pk=quote.pk), version=shown.version, accepted=False),
    )
    assert [yes, no].count(None) == 1
    assert "was already" in str(yes or no)
    assert Quote.objects.get().state == (State.ACCEPTED if yes is None else State.DECLINED)

"""The demo's quotes, answers, questions and letters: what somebody who tries the program finds."""

import io
from collections import Counter
from decimal import Decimal
from pathlib import Path

from django.core.management import call_command
from django.db import connection
from django.db.models import F
from django.utils import translation

from shoprepair.jobs import conversation, links
from shoprepair.jobs.models import Job, Photo, Stage
from shoprepair.pricing import learning, quotes, rules, totals, worth
from shoprepair.pricing.models import MeasuredMinutes, Operation, Quote, QuoteLine
from shoprepair.shop.models import Letter
from shoprepair.shop.outbox.words import say_state
from tests.office.demo import NOW, job_of

State = Quote.State


def quote_of(name, pattern):
    return quotes.current(job_of(name, pattern))


def test_every_job_past_the_quote_has_one_that_was_accepted():
    past = Job.objects.filter(
        stage__in=[Stage.GO_AHEAD, Stage.BENCH, Stage.HOLD_TEST, Stage.READY, Stage.HANDED_BACK]
    )

    assert past.count() > 100
    assert [job for job in past if not job.quotes.filter(state=State.ACCEPTED).exists()] == []


def test_every_job_at_quote_out_waits_for_an_answer_and_has_a_link():
    waiting = Job.objects.filter(stage=Stage.QUOTE_OUT)

    assert waiting.count() >= 6
    assert {quotes.current(job).state for job in waiting} == {State.OUT}
    assert all(links.current(job) for job in waiting)


def test_declined_jobs_declined_their_quote():
    declined = Job.objects.filter(stage=Stage.DECLINED)

    # Some four in a hundred, by a chance that falls otherwise as soon as there is one kind of damage more.
    assert declined.count() >= 3
    assert {quotes.current(job).state for job in declined} == {State.DECLINED}


def test_what_was_agreed_adds_up():
    agreed = list(Quote.objects.filter(state=State.ACCEPTED).order_by("-id")[:40])

    assert [quote for quote in agreed if Decimal(quote.agreed["total"]) != totals.of(quote).total] == []


def test_what_is_sold_costs_the_shop_less_so_that_it_earns_something():
    sold = QuoteLine.objects.filter(amount__gt=0).exclude(quote__warranty=True)

    assert not sold.filter(cost__gte=F("amount")).exists()
    assert sold.filter(cost__lt=F("amount") / 2).count() == 0


def test_optional_lines_were_left_out_here_and_there():
    left_out = sum(
        any(line["optional"] and not line["taken"] for line in quote.agreed["lines"])
        for quote in Quote.objects.filter(state=State.ACCEPTED)
    )

    assert left_out > 15


def test_one_quote_has_run_out_one_was_revised_and_one_is_being_written():
    assert quote_of("Rurik", "Lomvi 17 kite").valid_until < NOW.date()
    assert quote_of("Čeněk Příborský", "Teist 7 kite").number == 2
    assert job_of("Ewan Stroudley", "Rype 7.0 wing").quotes.get().state == State.DRAFT


def test_one_question_waits_for_its_answer_and_one_was_answered():
    waiting = [job for job in Job.objects.filter(is_open=True) if conversation.unanswered(job)]

    assert waiting == [job_of("Bassey Okafor", "Skarv 9 kite")]
    assert conversation.messages(job_of("Kaimana", "Havelle 14 kite")).count() == 2


def test_one_old_wing_is_not_worth_its_repair():
    quote = quote_of("Jörg Wellenreuter", "Old 3.6 wing, no label")

    assert worth.verdict(totals.of(quote).total, quote.worth, rules.current()).not_worth


def test_a_burst_leading_edge_costs_what_it_usually_does():
    quote = quote_of("عبد الرحمن بن يوسف النورسي", "Teist 12 kite")
    burst = quote.lines.get(text__istartswith="Rebuild a burst")
    access = quote.lines.get(kind="access")

    assert 200 <= burst.amount + access.amount <= 260


def test_nothing_was_sent_or_answered_before_it_was_written_or_after_now():
    sent = Quote.objects.exclude(sent_at=None)

    assert not sent.filter(sent_at__gt=NOW).exists()
    assert not sent.filter(answered_at__gt=NOW).exists()
    assert [quote for quote in sent.exclude(answered_at=None) if quote.answered_at < quote.sent_at] == []


def test_the_catalogue_has_learned_minutes():
    assert MeasuredMinutes.objects.count() > 120
    learned = [learning.learned(operation) for operation in Operation.objects.all()]
    assert sum(one.suggested_minutes is not None for one in learned) >= 8


def test_what_went_wrong_with_the_demos_letters_is_said_in_the_readers_language():
    with translation.override("de"):
        said = {say_state(one) for one in Letter.objects.exclude(last_error="")}

    assert said == {
        "nicht gesendet: dieses Postfach gibt es nicht",
        "vielleicht gesendet: die Verbindung brach ab, während er gesendet wurde",
    }


def test_letters_are_in_the_outbox_in_several_states_and_none_can_reach_anybody():
    states = Counter(Letter.objects.values_list("state", flat=True))

    assert states[Letter.State.WAITING] == 6
    assert states[Letter.State.SENT] > 100
    assert states[Letter.State.FAILED] == states[Letter.State.UNSURE] == 1
    assert not Letter.objects.exclude(to__endswith=".example").exists()
    newest_sent = Letter.objects.filter(state=Letter.State.SENT).latest("written_at").written_at
    assert newest_sent <= Letter.objects.filter(state=Letter.State.WAITING).earliest("written_at").written_at


def test_some_photos_are_shared_and_not_all():
    assert 6 <= Photo.objects.filter(shared=True).count() < Photo.objects.count()


def test_savepoints_are_kept_again_once_it_is_built():
    assert connection.features.uses_savepoints


def test_the_demo_prints_a_quote_and_where_it_is_answered():
    said = io.StringIO()

    call_command("demo", no_serve=True, stdout=said)

    lines = {line.split("  ")[0]: line.split()[-1] for line in said.getvalue().splitlines() if line.strip()}
    assert Path(lines["Quote"]).read_bytes().startswith(b"%PDF")
    token = lines["Status link"].split("/s/")[1].strip("/")
    assert links.find(token).job.stage == Stage.QUOTE_OUT

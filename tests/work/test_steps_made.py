"""Steps come from what the customer agreed to, each once, in the order of the bench."""

from decimal import Decimal
from itertools import pairwise

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shoprepair.jobs.models import Customer, Stage
from shoprepair.pricing import quotes
from shoprepair.pricing.models import Quote
from shoprepair.work import steps
from shoprepair.work.making import workable
from shoprepair.work.models import Need, Step
from tests.factories import QuoteFactory, QuoteLineFactory, accepted, agreed
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, on_the_strut, stocked
from tests.pricing.quoting import assessed, with_choices
from tests.work.benching import BASE, a_cut_job, add, agree, do_all, named, on_the_bench, put_in_force, tap

Kind = Step.Kind


@pytest.fixture
def shop(db: None) -> None:
    stocked()


def texts(job) -> list[str]:
    return [step.text for step in steps.of(job)]


def in_place(job) -> None:
    """Every step behind all that it comes after."""
    place = {step.made_from: step.position for step in steps.of(job)}
    for step in steps.of(job):
        assert all(place[name] < step.position for name in step.after), step


def test_an_accepted_quote_makes_its_steps_and_reserves_its_materials(shop):
    job = a_cut_job()
    agree(job)
    kinds = [step.kind for step in steps.of(job)]
    assert [kind for kind, before in zip(kinds, [None, *kinds], strict=False) if kind != before] == [
        Kind.OPEN,
        Kind.DRAW,
        Kind.REPAIR,
        Kind.REFIT,
        Kind.CLOSE,
        Kind.CHECK,
    ]
    assert Need.objects.filter(job=job, open=True).exists()
    in_place(job)


def test_one_opening_and_one_drawing_of_the_bladder_serve_damages_beside_each_other(shop):
    job = a_cut_job()
    on_the_edge(job, 0.14, "cut", mm=25)
    agree(job)
    kinds = [step.kind for step in steps.of(job)]
    assert kinds.count(Kind.OPEN) == kinds.count(Kind.CLOSE) == 1
    assert kinds.count(Kind.DRAW) == kinds.count(Kind.REFIT) == 1
    assert named(job, "Unpick opening 1").damages == [1, 2]
    assert not any(text.startswith("Draw the bladder well clear") for text in texts(job))


def test_each_tube_has_its_own_bladder(shop):
    job = a_cut_job()
    on_the_strut(job, 0.4, "cut", mm=30)
    agree(job)
    drawn = [step.opening["tube"] for step in steps.of(job) if step.kind == Kind.DRAW]
    assert sorted(drawn) == ["leading-edge", "strut-centre-0"]
    in_place(job)


def test_the_most_dangerous_damage_is_mended_first(shop):
    job = a_job()
    on_the_canopy(job, 0.5, "tear", mm=60)
    on_the_edge(job, 0.05, "cut", mm=40)
    agree(job)
    mended = [step.damages for step in steps.of(job) if step.kind == Kind.REPAIR]
    assert mended[0] == [2]
    assert mended[-1] == [1]


def test_the_same_agreement_makes_its_steps_once(shop):
    job = a_cut_job()
    agree(job)
    before = [(step.pk, step.version) for step in steps.of(job)]
    assert [(step.pk, step.version) for step in steps.make(job)] == before


def test_the_agreed_minutes_are_spread_over_the_steps_to_the_tenth(shop):
    job = a_cut_job()
    quote = agree(job)
    for line in quote.lines.filter(kind="repair", taken=True):
        spread = [step.minutes for step in job.steps.filter(repair=line.repair)]
        assert sum(spread) == line.minutes
    for line in quote.lines.filter(kind="access"):
        around = job.steps.exclude(kind=Kind.REPAIR)
        assert abs(sum(step.minutes for step in around) - line.minutes) <= Decimal("0.2")


def test_what_must_dry_rests_after_the_last_step_that_bonds(shop):
    job = a_cut_job()
    agree(job)
    resting = [step for step in steps.of(job) if step.drying_hours]
    assert [step.text[:19] for step in resting] == ["Spread the adhesive"]
    assert resting[0].drying_hours == 12
    assert resting[0].caution == "Gloves on."


def test_the_figures_of_a_step_are_its_lay_up_s_with_a_needle_for_the_thread(shop):
    job = a_cut_job()
    agree(job)
    sewing = {figure.name: figure for figure in steps.figures(named(job, "Sew the rows"))}
    assert {"plies inside", "plies outside", "patch along", "patch around", "rows", "stitch length"} <= set(
        sewing
    )
    assert sewing["needle"].assumed
    assert "from memory" in sewing["needle"].source
    opening = [figure.name for figure in steps.figures(named(job, "Unpick"))]
    assert opening == ["length", "from, right of the centre", "to, right of the centre"] or (
        opening == ["length", "from, left of the centre", "to, right of the centre"]
    )


def test_what_was_not_taken_is_not_done(db):
    job = assessed()
    quote, lines = with_choices(job)
    steps.make(put_in_force(quote, {lines["patch"].pk, lines["mend"].pk}).job)
    assert texts(job)[:2] == ["Casing patch.", "Bladder patch."]
    assert steps.of(job)[-1].kind == Kind.CHECK
    assert len(texts(job)) == 3


def test_a_newer_agreement_before_anybody_began_is_laid_out_anew(shop):
    job = a_cut_job()
    agree(job)
    on_the_edge(job, 0.14, "cut", mm=25)
    agree(job)
    assert named(job, "Unpick opening 1").damages == [1, 2]
    assert [step.position for step in steps.of(job)] == list(range(1, len(steps.of(job)) + 1))


def test_a_newer_agreement_in_work_keeps_what_was_done_and_drops_what_is_no_longer_agreed(shop, bench):
    job = a_cut_job()
    tear = on_the_canopy(job, 0.5, "tear", mm=60)
    on_the_bench(bench, job)
    opened = tap(named(job, "Unpick"), "done", bench)
    older = Quote.objects.get(job=job)
    newer = QuoteFactory(job=job)
    for line in older.lines.filter(taken=True):
        if tear.number not in line.damages:
            line.pk, line.quote = None, newer
            line.save(force_insert=True)
    Quote.objects.filter(pk=older.pk).update(state=Quote.State.REPLACED)
    put_in_force(newer)
    steps.make(job)
    assert not job.steps.filter(damages=[tear.number]).exists()
    opened.refresh_from_db()
    assert opened.state == Step.State.DONE
    in_place(job)


def test_an_addition_comes_before_what_closes_and_shares_the_opening_that_is_there(shop, bench):
    job = on_the_bench(bench)
    tap(named(job, "Unpick"), "done", bench)
    add(job, on_the_edge(job, 0.13, "cut", mm=20))
    steps.make(job)
    found = [step for step in steps.of(job) if step.damages == [2]]
    ends = [step for step in steps.of(job) if step.kind in (Kind.REFIT, Kind.CLOSE, Kind.CHECK)]
    assert found
    assert max(step.position for step in found) < min(step.position for step in ends)
    assert [step.kind for step in steps.of(job)].count(Kind.OPEN) == 1
    in_place(job)


def test_an_addition_after_the_tube_was_closed_opens_it_again(shop, bench):
    job = on_the_bench(bench)
    do_all(job, bench)
    add(job, on_the_edge(job, 0.13, "cut", mm=20))
    steps.make(job)
    new = [step for step in steps.of(job) if step.state == Step.State.WAITING]
    assert new[0].text.startswith("Unpick opening 1 in the closing seam of the leading edge again")
    assert new[1].text.startswith("Draw the bladder of the leading edge again")
    assert [step.kind for step in new][-3:] == [Kind.REFIT, Kind.CLOSE, Kind.CHECK]
    assert steps.make(job) == steps.of(job)
    in_place(job)


def test_what_was_found_inside_and_agreed_to_is_worked_with_the_rest(shop, bench, owner):
    job = on_the_bench(bench)
    Customer.objects.filter(pk=job.customer_id).update(email="ilka@sandvoort.example")
    opened = tap(named(job, "Unpick"), "done", bench)
    on_the_edge(job, 0.13, "cut", mm=20)
    before = {step.pk for step in steps.of(job)}
    draft = quotes.draft(job, who=owner)
    assert draft.addition_to is not None
    assert {step.pk for step in steps.of(job)} == before
    accepted(quotes.send(draft, who=owner, version=draft.version, base_url=BASE), job)
    new = [step for step in steps.of(job) if step.pk not in before]
    assert new
    assert all(step.damages == [2] for step in new)
    assert opened.made_from in new[0].after
    assert job.stage == Stage.BENCH
    in_place(job)


def test_two_additions_through_one_closed_opening_open_it_once_more(shop, bench):
    job = on_the_bench(bench)
    do_all(job, bench)
    add(job, on_the_edge(job, 0.13, "cut", mm=20))
    add(job, on_the_edge(job, 0.08, "scuff", mm=20, fold="folds to an edge"))
    steps.make(job)
    again = [step for step in steps.of(job) if step.kind == Kind.OPEN and step.state == Step.State.WAITING]
    assert [step.damages for step in again] == [[2, 3]]
    in_place(job)


def test_an_addition_elsewhere_gets_an_opening_of_its_own(shop, bench):
    job = on_the_bench(bench)
    tap(named(job, "Unpick"), "done", bench)
    add(job, on_the_edge(job, 0.7, "cut", mm=20, side="left"))
    steps.make(job)
    assert named(job, "Unpick opening 2").damages == [2]
    in_place(job)


def test_nothing_sticks_to_wet_cloth_so_washing_comes_before_every_repair(shop, owner):
    job = a_cut_job()
    type(job).objects.filter(pk=job.pk).update(stage=Stage.ASSESSED)
    job.refresh_from_db()
    draft = quotes.draft(job, who=owner)
    QuoteLineFactory(quote=draft, kind="extra", text="Wash and dry", operation_code="wash-and-dry")
    accepted(quotes.send(draft, who=owner, version=draft.version, base_url=BASE), job)
    hung = named(job, "Hang it")
    washed = named(job, "Write down when it is dry")
    assert hung.drying_hours == 24
    for repair in {step.repair_id for step in steps.of(job) if step.repair_id}:
        assert washed.made_from in job.steps.filter(repair=repair).first().after


def test_a_quote_of_one_plain_line_makes_a_step_of_it(db):
    job = assessed()
    agreed(job)
    assert texts(job) == ["Casing patch.", steps.of(job)[-1].text]


def test_steps_are_asked_for_in_one_statement_however_many(shop, django_assert_num_queries):
    job = a_cut_job()
    on_the_canopy(job, 0.5, "tear", mm=60)
    agree(job)
    with django_assert_num_queries(1):
        every = steps.of(job)
        steps.refusals(every)
        [steps.figures(step) for step in every]


def test_names_move_back_behind_what_they_come_after_and_no_further():
    after = {"a": ["c"], "b": []}
    assert workable(["a", "b", "c"], after) == ["b", "c", "a"]
    assert workable(["c", "b", "a"], after) == ["c", "b", "a"]


def test_steps_of_one_repair_follow_one_another(shop):
    job = a_cut_job()
    agree(job)
    for repair in {step.repair_id for step in steps.of(job) if step.repair_id}:
        for before, step in pairwise(job.steps.filter(repair=repair)):
            assert step.after == [before.made_from]


def test_making_steps_takes_the_same_statements_however_much_was_agreed(shop):
    counts = []
    for damages in (1, 4):
        job = a_job()
        for place in range(damages):
            on_the_edge(job, 0.1 + place / 10, "cut", mm=30)
        agree(job)
        job.steps.all().delete()
        with CaptureQueriesContext(connection) as caught:
            steps.make(job)
        counts.append(len(caught))
    assert counts[0] == counts[1]

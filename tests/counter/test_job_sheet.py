"""The job sheet: what it shows, its journal, who may open it and at what cost."""

import datetime
import re

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import damages, judging_anew
from shoprepair.jobs.models import Customer, Damage, Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.units import Typed
from tests.counter.sheets import a_cut, sheet, take
from tests.factories import (
    DamageFactory,
    JobFactory,
)

pytestmark = pytest.mark.django_db


LOG_IN_AND_SHOP = 1
"""The one statement of every page: the session with its person and shop."""


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def cut(counter) -> Damage:
    return a_cut(counter)


# What it shows


def test_the_head_says_what_it_is_whose_how_dangerous_and_what_comes_next(client, cut):
    page = sheet(client, cut.job)

    head = page[page.index("job-head") : page.index("job-work")]
    for words in ("0001", "Petrel 5.0", "Oda Tveit", "35 mm cut around", "Checked in", cut.band):
        assert words in head
    assert f'<span class="urgency-number">{cut.urgency}</span>' in head
    assert "Assessment is done" in head
    assert page.count("is-primary") == 1


def test_the_head_says_that_the_job_is_still_judged_by_the_figures_before(client, cut):
    words = "Still judged by the load figures before the change"
    assert words not in sheet(client, cut.job)
    judging_anew.begin()
    assert words in sheet(client, cut.job)


def test_each_damage_opens_to_inputs_formula_source_and_assumptions(client, cut):
    page = sheet(client, cut.job)
    card = page[page.index('id="damage-1"') : page.index('class="caution"')]

    assert f"λ {cut.load_ratio:.2f}" in card
    assert "Runs from" in card
    assert "How this was worked out" in card
    assert card.count("<dt>") > 8
    assert 'class="assumed">assumed<' in card
    assert "<cite>" in card


def test_the_caution_stands_beside_the_figures(client, cut):
    assert "Screening figures, not a certificate" in sheet(client, cut.job)


def test_the_drawing_carries_the_load_map_a_pin_for_each_damage_and_a_legend(client, cut):
    page = sheet(client, cut.job)
    drawing = page[page.index('class="drawing"') : page.index('class="legend"')]

    file, whole = re.findall(r'<use href="([^"]*)#([^"]*)"/>', drawing)[0]
    borrowed = client.get(file).content.decode()
    assert f'id="{whole}"' in borrowed
    assert 'stroke-width="var(--d-hatch-pen)"' in borrowed
    assert 'data-pin="1"' in drawing
    assert 'href="#damage-1"' in drawing
    assert "Share of its strength that sound cloth uses" in page
    assert 'class="strength-plot"' in page


def test_the_most_dangerous_damage_stands_first_and_an_unanswered_one_last(client, cut, counter):
    damages.pin(cut.job, -0.4, 0.03, who=counter)
    burst = damages.pin(cut.job, -0.8, 0.1, who=counter)
    damages.answer(burst, who=counter, kind="burst")

    page = sheet(client, cut.job)

    places = [page.index(f'id="damage-{number}"') for number in (3, 1, 2)]
    assert places == sorted(places)
    assert "Say what kind of damage it is." in page
    assert "nothing left" in page


def test_forty_damages_fit_on_one_sheet(client, cut):
    for number in range(2, 41):
        DamageFactory(job=cut.job, number=number, x_m=0.03 * number - 0.6)

    page = sheet(client, cut.job)

    assert page.count('class="sheet damage"') == 40
    assert page.count('data-pin="') >= 40


def test_what_came_along_the_note_and_the_agreed_terms_stand_as_they_were_written(client, cut):
    Job.objects.filter(pk=cut.job.pk).update(terms="Ninety days.\nThen it is ours.")

    page = sheet(client, cut.job)

    assert "bag, leash" in page
    assert "Wants it by Friday." in page
    assert "Ninety days.<br>Then it is ours." in page


def test_an_empty_sheet_says_what_to_do_first(client):
    page = sheet(client, JobFactory())

    assert "No damage is pinned yet" in page
    assert "No photo yet" in page
    assert "Nothing is pinned yet." in page
    assert "Go on with check-in" in page


def test_the_papers_are_one_tap_away(client, cut):
    page = sheet(client, cut.job)

    assert f'href="{reverse("work-order", args=[1])}"' in page
    assert f'href="{reverse("bag-tag", args=[1])}"' in page


def test_figures_are_in_the_readers_units(client, cut, counter):
    counter.length_unit, counter.pressure_unit = "in", "psi"
    counter.save()

    page = sheet(client, cut.job)

    assert "7.3 psi" in page
    assert " in</dd>" in page


def test_what_people_typed_never_becomes_markup(client, cut, counter):
    bad = "<script>x</script><b>"
    Customer.objects.update(name=bad, note=bad)
    Job.objects.update(note=bad, terms=bad, hold="parts", hold_note=bad, came_with=[bad])
    cut.job.inflatable.note = cut.job.inflatable.colour = bad
    cut.job.inflatable.save()
    Damage.objects.update(note=bad)
    journal.record(cut.job, "x", bad, who=counter, changes={"note": [bad, bad]})

    page = sheet(client, cut.job)

    assert "<script>x" not in page
    assert "&lt;script&gt;x" in page


def test_a_job_that_does_not_exist_is_a_page_that_says_so(client):
    answer = client.get("/jobs/99/")

    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.content.decode()
    assert client.get(f"/jobs/{10**30}/").status_code == 404


def test_a_removed_damage_can_be_put_back_from_the_sheet(client, cut, counter):
    damages.remove(cut, counter)

    page = sheet(client, cut.job, removed="damages")
    assert re.search(r'id="removed-damages"\s+open', page)
    client.post(reverse("damage-restore", args=[1, 1]), {"next": "/jobs/1/#damages"})

    assert 'id="damage-1"' in sheet(client, cut.job)


def test_a_damage_removed_on_the_sheet_leads_back_to_the_sheet(client, cut):
    answer = client.post(
        reverse("damage-remove", args=[1, 1]), {"next": "/jobs/1/?removed=damages#removed-damages"}
    )

    assert answer.headers["Location"] == "/jobs/1/?removed=damages#removed-damages"


# The journal


def test_the_journal_says_who_did_what_when_and_from_what_to_what(client, cut, counter):
    damages.answer(cut, who=counter, length=Typed(0.055, "55 mm"))

    page = sheet(client, cut.job)
    entry = page[page.index('class="journal"') :]
    entry = entry[: entry.index("</li>")]

    assert "Maja Orrevik" in entry
    assert "Damage 1 was answered." in entry
    assert "35 mm" in entry[entry.index("<del") : entry.index("</del>")]
    assert "55 mm" in entry[entry.index("<ins") : entry.index("</ins>")]


def test_the_journal_goes_by_time_and_within_one_moment_by_the_order_of_writing(client, cut, counter):
    begun = timezone.now()
    for text, at in (("Gear came.", 2), ("Older, written late.", 1), ("Quote begun.", 3), ("Quote sent.", 3)):
        with time_machine.travel(begun + datetime.timedelta(hours=at), tick=False):
            journal.record(cut.job, "x", text, who=counter)

    entries = re.findall(r'class="journal-text">([^<]+)<', sheet(client, cut.job))

    assert entries[:4] == ["Quote sent.", "Quote begun.", "Gear came.", "Older, written late."]


def test_a_long_journal_shows_its_newest_and_opens_to_the_whole(client, cut, counter):
    for n in range(40):
        journal.record(cut.job, "x", f"Entry {n}.", who=counter)

    short, whole = sheet(client, cut.job), sheet(client, cut.job, journal="whole")

    assert "Entry 39." in short
    assert "Entry 0." not in short
    assert "?journal=whole#journal" in short
    assert "Entry 0." in whole


# Who may, and at what cost


@pytest.mark.parametrize("role", ["counter", "bench", "owner"])
def test_everybody_in_the_shop_may_open_and_move_a_job(role, request, as_person, cut):
    client = as_person(request.getfixturevalue(role))

    assert client.get("/jobs/1/").status_code == 200
    assert take(client, cut.job, "assessed").status_code == 302


@pytest.mark.parametrize("name", ["job", "job-stage", "job-hold", "job-correct", "work-order", "bag-tag"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_stranger_is_asked_to_log_in_and_changes_nothing(stranger, cut, name, method):
    answer = getattr(stranger, method)(reverse(name, args=[1]), {"to": "assessed", "hold": "parts"})

    assert answer.headers["Location"].startswith("/log-in/")
    assert Job.objects.filter(stage=Stage.CHECKED_IN, hold="").exists()


def test_a_stranger_meets_the_log_in_for_a_job_that_does_not_exist_too(stranger):
    assert stranger.get("/jobs/99/").status_code == 302


@pytest.mark.parametrize("more", [0, 3])
def test_the_sheet_asks_the_database_as_often_for_many_damages_as_for_one(
    client, cut, counter, django_assert_num_queries, more
):
    for n in range(more):
        damages.answer(damages.pin(cut.job, -0.2 * n, 0.05, who=counter), who=counter, kind="burst")
    sheet(client, cut.job)

    # Job with link and when it is ready, damages, quotes, photos, another enquiry, load figures, messages,
    # letters, journal.
    with django_assert_num_queries(9 + LOG_IN_AND_SHOP):
        sheet(client, cut.job)

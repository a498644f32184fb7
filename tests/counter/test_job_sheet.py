import datetime
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from shoprepair.jobs import checkin, corrections, damages, stages
from shoprepair.jobs.models import Customer, Damage, Hold, Job, Stage
from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry
from shoprepair.shop.units import Typed
from tests.factories import (
    CustomerFactory,
    DamageFactory,
    InflatableFactory,
    JobFactory,
    PatternFactory,
    agreed,
)

pytestmark = pytest.mark.django_db

LOG_IN_AND_SHOP = 1
"""The one statement of every page: the session with its person and shop."""
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def cut(counter) -> Damage:
    """A cut of 35 mm around the leading edge of a wing that is checked in."""
    customer = CustomerFactory(name="Oda Tveit", phone="+1 555 0134")
    made = checkin.start(customer, InflatableFactory(pattern=PatternFactory(name="Petrel 5.0")), who=counter)
    damage = damages.pin(made, 0.4, 0.03, who=counter)
    damages.answer(damage, who=counter, kind="cut", length=Typed(0.035, "35 mm"), direction="around")
    checkin.note_arrival(made, who=counter, came_with=["bag", "leash"], note="Wants it by Friday.")
    made.terms = "Ninety days."
    checkin.agree_terms(made, who=counter)
    checkin.finish(made, who=counter)
    damage.refresh_from_db()
    return damage


def sheet(client, job: Job, **query) -> str:
    return client.get(job.get_absolute_url(), query).content.decode()


def take(client, job: Job, to: str, **more):
    return client.post(reverse("job-stage", args=[job.number]), {"to": to, **more})


def stage(job: Job) -> str:
    return Job.objects.get(pk=job.pk).stage


# What it shows


def test_the_head_says_what_it_is_whose_how_dangerous_and_what_comes_next(client, cut):
    page = sheet(client, cut.job)

    head = page[page.index("job-head") : page.index("job-work")]
    for words in ("0001", "Petrel 5.0", "Oda Tveit", "35 mm cut around", "Checked in", cut.band):
        assert words in head
    assert f'<span class="urgency-number">{cut.urgency}</span>' in head
    assert "Assessment is done" in head
    assert page.count("is-primary") == 1


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


def test_a_long_journal_shows_its_newest_and_opens_to_the_whole(client, cut, counter):
    for n in range(40):
        journal.record(cut.job, "x", f"Entry {n}.", who=counter)

    short, whole = sheet(client, cut.job), sheet(client, cut.job, journal="whole")

    assert "Entry 39." in short
    assert "Entry 0." not in short
    assert "?journal=whole#journal" in short
    assert "Entry 0." in whole


# Stages


def test_a_step_is_taken_and_stands_in_the_journal(client, cut):
    answer = take(client, cut.job, "assessed", seen="checked-in")

    assert answer.status_code == 302
    assert stage(cut.job) == Stage.ASSESSED
    assert "Assessment is done." in sheet(client, cut.job)


def test_a_tap_comes_back_as_the_sheet_alone_with_what_was_done(client, cut):
    answer = client.post(reverse("job-stage", args=[1]), {"to": "assessed"}, **HTMX)

    page = answer.content.decode()
    assert page.strip().startswith('<div id="job"')
    assert "The job is at “Assessed”." in page
    assert "HX-Request" in answer["Vary"]


def test_a_double_tap_takes_one_step(client, cut):
    before = JournalEntry.objects.count()

    answers = [take(client, cut.job, "assessed", seen="checked-in").status_code for _ in range(3)]

    assert answers == [302, 302, 302]
    assert stage(cut.job) == Stage.ASSESSED
    assert JournalEntry.objects.count() == before + 1


def test_a_step_that_lacks_something_says_what_and_leads_to_where_it_is_mended(client, cut, counter):
    damages.pin(cut.job, -0.4, 0.03, who=counter)

    page = sheet(client, cut.job)

    assert "Answer the questions of damage 2." in page
    assert f'href="{reverse("job-check-in", args=[1])}"' in page
    assert 'value="assessed"' not in page


@pytest.mark.parametrize(("headers", "whole"), [({}, True), (HTMX, False)])
def test_a_refused_step_is_answered_with_the_sheet_and_the_sentences(client, cut, counter, headers, whole):
    damages.pin(cut.job, -0.4, 0.03, who=counter)

    answer = client.post(reverse("job-stage", args=[1]), {"to": "assessed"}, **headers)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert ("<html" in page) is whole
    assert "Answer the questions of damage 2." in page[page.index('id="refused"') :]
    assert stage(cut.job) == Stage.CHECKED_IN


def test_a_jump_over_stages_says_where_the_job_can_go(client, cut):
    answer = take(client, cut.job, "ready")

    assert answer.status_code == 422
    assert "cannot jump to “Ready”" in answer.content.decode()


def test_a_page_that_shows_an_older_stage_does_not_move_the_job(client, cut, counter):
    stages.move(cut.job, Stage.ASSESSED, who=counter)

    answer = take(client, cut.job, "enquiry", seen="checked-in", reason="Wrong gear.")

    assert answer.status_code == 422
    assert "Somebody has moved this job to “Assessed” meanwhile." in answer.content.decode()
    assert stage(cut.job) == Stage.ASSESSED


def test_a_way_back_asks_why_and_keeps_what_was_typed(client, cut):
    asked = take(client, cut.job, "withdrawn", reason="   ")
    assert asked.status_code == 422
    assert "Say why, in a few words." in asked.content.decode()

    long = take(client, cut.job, "withdrawn", reason="too long " * 40)
    assert long.status_code == 422
    assert "too long too long" in long.content.decode()

    take(client, cut.job, "withdrawn", reason="Sold it.")
    assert stage(cut.job) == Stage.WITHDRAWN
    assert "Withdraw: Sold it." in sheet(client, cut.job)


def test_what_is_the_owners_alone_says_so_to_everybody_else(client, cut, as_person, owner, counter):
    stages.move(cut.job, Stage.WITHDRAWN, who=counter, reason="Sold it.")

    assert "Only the owner may do that." in sheet(client, cut.job)
    assert take(client, cut.job, "enquiry", reason="Came back.").status_code == 422
    assert take(as_person(owner), cut.job, "enquiry", reason="Came back.").status_code == 302


def test_a_stage_that_does_not_exist_is_refused(client, cut):
    assert take(client, cut.job, "heaven").status_code == 422
    assert take(client, cut.job, "").status_code == 422


def test_stages_are_changed_by_post_alone(client, cut):
    assert client.get(reverse("job-stage", args=[1])).status_code == 405
    assert client.get(reverse("job-hold", args=[1])).status_code == 405


# Hold


def test_a_hold_is_set_shown_and_lifted(client, cut):
    hold = reverse("job-hold", args=[1])

    client.post(hold, {"hold": "parts", "note": "  valve   ordered "})
    job = Job.objects.get()
    assert (job.hold, job.hold_note) == (Hold.PARTS, "valve ordered")
    assert "Waiting for parts" in sheet(client, job)

    client.post(hold, {"hold": "", "note": "valve ordered"})
    assert Job.objects.get().hold == Hold.NONE
    assert "The hold is lifted." in sheet(client, job)


def test_a_hold_kept_twice_is_written_once(client, cut):
    before = JournalEntry.objects.count()
    for _ in range(3):
        client.post(reverse("job-hold", args=[1]), {"hold": "drying", "note": ""})

    assert JournalEntry.objects.count() == before + 1


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [({"hold": "lunch"}, "There is no such hold."), ({"hold": "parts", "note": "x" * 201}, "200 letters")],
)
def test_a_hold_that_cannot_be_is_refused_with_a_sentence(client, cut, sent, sentence):
    answer = client.post(reverse("job-hold", args=[1]), sent)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Job.objects.get().hold == Hold.NONE


def test_a_closed_job_cannot_wait(client, cut, counter):
    stages.move(cut.job, Stage.WITHDRAWN, who=counter, reason="Sold it.")

    answer = client.post(reverse("job-hold", args=[1]), {"hold": "parts"})

    assert answer.status_code == 422
    assert "This job is closed" in answer.content.decode()
    assert "Does it wait?" not in sheet(client, cut.job)


def test_drying_gear_leads_to_the_hold_before_it_goes_on_the_bench(client, cut, counter):
    stages.move(cut.job, Stage.ASSESSED, who=counter)
    agreed(cut.job, counter)
    stages.set_hold(cut.job, Hold.DRYING, who=counter)

    page = sheet(client, cut.job)

    assert "Lift the hold when it is bone dry." in page
    assert 'href="/jobs/1/#hold"' in page


# Correcting


def correct(client, what: str, **sent):
    return client.post(f"{reverse('job-correct', args=[1])}?what={what}", sent)


VISIT = {
    "promised_on": "2030-01-05",
    "came_with": "bag, leash",
    "arrived_wet": "",
    "note": "Wants it by Friday.",
}


def test_the_visit_is_corrected_and_the_old_date_stays_in_the_journal(client, cut):
    job = Job.objects.get()
    came = timezone.localtime(job.received_at).strftime("%Y-%m-%dT%H:%M")

    answer = correct(client, "job", **VISIT, received_at=came, version=job.version)

    assert answer.headers["Location"] == "/jobs/1/#facts"
    job.refresh_from_db()
    assert job.promised_on == datetime.date(2030, 1, 5)
    entry = JournalEntry.objects.filter(verb="job.corrected").get()
    assert list(entry.changes) == ["promised_on"]
    assert "Sat 5 Jan 2030" in sheet(client, job)


def test_the_customer_is_corrected_and_found_by_the_new_name(client, cut):
    customer = cut.job.customer
    sent = {"name": "Oda Tveitan", "phone": "+1 555 0199", "email": "oda@example.org", "note": ""}

    correct(client, "customer", **sent, version=customer.version)

    page = sheet(client, cut.job)
    assert "Oda Tveitan" in page
    assert "oda@example.org" in page
    assert "Oda Tveit</del>" in page.replace("\n", "").replace("  ", "")
    assert client.get("/", {"text": "tveitan"}).content.decode().count('<li class="row"') == 1


def test_worn_cloth_is_corrected_and_the_damages_are_judged_anew(client, cut):
    before = Damage.objects.get().load_ratio
    gear = cut.job.inflatable
    sent = {
        "serial": gear.serial,
        "colour": "sea green",
        "bought_year": "2021",
        "condition": "brittle",
        "note": "",
    }

    correct(client, "inflatable", **sent, version=gear.version)

    assert Damage.objects.get().load_ratio > before
    assert "sea green" in sheet(client, cut.job)


@pytest.mark.parametrize(
    ("what", "wrong", "sentence"),
    [
        ("job", {"promised_on": "soon"}, "Write the day as 2026-05-31."),
        ("job", {"promised_on": "1999-01-01"}, "lies before the day the job came in"),
        ("job", {"received_at": "noon"}, "Write day and time as 2026-05-31 14:30."),
        ("customer", {"name": " "}, "Write the customer&#x27;s name."),
        ("customer", {"phone": "12"}, "A phone number has 5 to 15 digits"),
        ("customer", {"email": "oda at home"}, "valid email"),
        ("inflatable", {"bought_year": "last"}, "Write the year with four figures"),
        ("inflatable", {"bought_year": "1066"}, "The year lies between"),
        ("inflatable", {"serial": "PT-TAKEN"}, "This serial is already here"),
    ],
)
def test_a_wrong_correction_gets_a_sentence_and_loses_nothing_typed(client, cut, what, wrong, sentence):
    InflatableFactory(serial="PT-TAKEN", pattern=cut.job.inflatable.pattern)
    right = {
        "job": {**VISIT, "received_at": "2026-01-01T09:00"},
        "customer": {"name": "Oda Tveit", "phone": "+1 555 0134", "email": "", "note": ""},
        "inflatable": {"serial": "PT-7", "colour": "", "bought_year": "", "condition": "sound", "note": ""},
    }[what]

    answer = correct(client, what, **{**right, **wrong, "note": "kept as typed"})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "kept as typed" in page
    assert not JournalEntry.objects.filter(verb__endswith=".corrected").exists()


def test_a_correction_over_somebody_elses_shows_theirs_and_keeps_what_was_typed(client, cut, owner):
    seen = Customer.objects.get()
    corrections.correct(Customer.objects.get(), who=owner, phone="+1 555 0777")
    sent = {"name": "Oda Tveitan", "phone": seen.phone, "email": "", "note": ""}

    answer = correct(client, "customer", **sent, version=seen.version)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Somebody has corrected this while you were writing." in page
    assert "Phone is now" in page
    assert "+1 555 0777" in page
    assert 'value="Oda Tveitan"' in page
    assert Customer.objects.get().name == "Oda Tveit"

    version = Customer.objects.get().version
    assert f'name="version" value="{version}"' in page
    correct(client, "customer", **{**sent, "phone": "+1 555 0777"}, version=version)
    assert Customer.objects.get().name == "Oda Tveitan"


def test_a_correction_that_changes_nothing_writes_nothing(client, cut):
    customer = cut.job.customer
    sent = {"name": customer.name, "phone": customer.phone, "email": "", "note": ""}

    assert correct(client, "customer", **sent, version=customer.version).status_code == 302
    assert not JournalEntry.objects.filter(verb="customer.corrected").exists()


def test_the_seconds_that_a_field_does_not_show_are_no_correction(client, cut):
    job = Job.objects.get()
    came = timezone.localtime(job.received_at).strftime("%Y-%m-%dT%H:%M")
    sent = {**VISIT, "promised_on": job.promised_on.isoformat(), "received_at": came}

    correct(client, "job", **sent, version=job.version)

    assert Job.objects.get().received_at == job.received_at
    assert not JournalEntry.objects.filter(verb="job.corrected").exists()


def test_only_what_the_sheet_names_can_be_corrected(client, cut):
    assert client.get(reverse("job-correct", args=[1]), {"what": "shop"}).status_code == 404


@pytest.mark.parametrize("what", ["job", "customer", "inflatable"])
def test_the_correction_shows_what_stands_there_now(client, cut, what):
    page = client.get(reverse("job-correct", args=[1]), {"what": what}).content.decode()

    stands = {"job": "bag, leash", "customer": "Oda Tveit", "inflatable": cut.job.inflatable.serial}[what]
    assert stands in page
    assert page.count("is-primary") == 1


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

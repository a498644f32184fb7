"""The repairs page and the page of one lay-up."""

import re

import pytest
from django.urls import reverse

from shoprepair.jobs import damages
from shoprepair.jobs.models import Job, Stage
from shoprepair.pricing import proposals
from shoprepair.pricing.models import Operation, Repair
from tests.factories import JobFactory
from tests.pricing.mending import a_job, on_the_canopy, on_the_edge, one, stocked

pytestmark = pytest.mark.django_db

QUERIES = 16
"""Session with person and shop; job, proposal, repairs, materials, rules, damages, left out, catalogue."""


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter) -> Job:
    """A wing with a burst in the centre section, a cut further out and a torn canopy."""
    stocked()
    made = a_job()
    on_the_edge(made, 0.2, "burst", who=counter)
    on_the_edge(made, 0.6, "cut", who=counter, mm=35, direction="around", through_bladder="no")
    on_the_canopy(made, 0.4, "tear", who=counter, mm=120)
    Job.objects.filter(pk=made.pk).update(stage=Stage.ASSESSED)
    made.refresh_from_db()
    return made


def page(client, job) -> str:
    return client.get(reverse("repairs", args=[job.number])).content.decode()


def card(html: str, number: int) -> str:
    start = html.index(f'id="damage-{number}"')
    return html[start : html.find('class="sheet mending', start) % len(html) or None]


def repair_of(job, code) -> Repair:
    return one(proposals.propose_job(job), code)


def change(client, repair, **fields):
    layup = proposals.layup_of(repair)
    typed = {
        "version": repair.version,
        "plies_inside": layup.plies_inside,
        "plies_outside": layup.plies_outside,
        "rows": layup.rows,
        "pitch": "3 mm",
        "thread": layup.thread.name,
        "along": "",
        "around": "",
    }
    url = reverse("repair", args=[repair.damage.job.number, repair.pk])
    return client.post(url, typed | fields)


# What it shows


def test_each_damage_stands_with_its_words_its_band_and_what_mends_it(client, job):
    html = page(client, job)

    burst = card(html, 1)
    assert "Burst, leading edge" in burst
    assert "Grounded" in burst
    assert "Rebuild a burst leading edge" in burst
    assert re.search(r"λ \d", card(html, 2))


def test_a_patch_is_drawn_with_its_plies_outline_rows_pitch_and_thread(client, job):
    cut = card(page(client, job), 2)

    assert 'class="patch-cloth"' in cut
    for words in (
        "1 inside, 1 outside",
        "corners",
        "Overlap",
        "2 rows, lockstitch",
        "3 mm",
        "Tex 90",
        "must hold",
    ):
        assert words in cut


def test_alternatives_stand_together_each_with_its_price_and_one_is_advised(client, job):
    html = card(page(client, job), 1)
    choice = html[html.index("One of these") : html.index("</fieldset>")]

    assert choice.count('class="amount"') == 2
    assert choice.count(">Advised<") == 1
    assert choice.count("Advise this one") == 1


def test_the_openings_are_drawn_and_told_with_minutes_and_what_sharing_saves(client, job, counter):
    on_the_edge(job, 0.25, "cut", who=counter, mm=30, direction="along")

    html = page(client, job)
    openings = html[html.index('id="openings"') :]

    assert "<svg" in openings
    assert "Unpick" in openings
    assert "of the closing seam" in openings
    assert "saved by sharing" in openings


def test_what_a_person_typed_never_becomes_markup(client, job, owner):
    repair = repair_of(job, "casing-patch-small")
    Repair.objects.filter(pk=repair.pk).update(
        shortfall=0.2, let_stand_by=owner, let_stand_reason="<script>x</script>"
    )
    Operation.objects.filter(code="casing-patch-small").update(name="<b>Patch</b>")

    html = page(client, job)

    assert "<script>x" not in html
    assert "<b>Patch" not in html


def many(job, counter):
    """Six damages, one more than stand on the page whole."""
    for station in (0.3, 0.5, 0.7):
        on_the_edge(job, station, "cut", who=counter, mm=20, direction="along")


def test_of_many_damages_each_is_a_line_that_opens_and_only_the_pressing_one_stands_open(
    client, job, counter
):
    many(job, counter)

    html = page(client, job)
    lines = html[html.index('class="mendings') : html.index('id="add"')].split("<details")[1:]
    lines = [line for line in lines if "mending-line" in line]

    assert len(lines) == 6
    assert [" open" in line[: line.index(">")] for line in lines] == [True] + [False] * 5
    assert "Grounded" in lines[0]


def test_a_line_of_many_says_what_mends_it_and_what_that_costs_without_its_alternatives(client, job, counter):
    many(job, counter)

    html = page(client, job)
    line = html[html.index('<span class="mending-said">') :]
    line = line[: line.index("</summary>")]
    (burst,) = [
        m
        for m in client.get(reverse("repairs", args=[job.number])).context["mendings"]
        if "Burst" in m.finding.title
    ]

    assert "Rebuild a burst leading edge" in line
    assert [option.is_aside for option in burst.advised] == [False] * len(burst.advised)
    assert len(burst.advised) < sum(len(choice.options) for choice in burst.choices)
    assert burst.amount == sum(o.line.amount for o in burst.advised if not o.repair.optional)


def test_the_address_of_a_damage_stands_inside_its_line_where_a_browser_opens_it(client, job, counter):
    many(job, counter)

    html = page(client, job)

    assert all(
        '<li class="sheet mending"' in html and f'class="mending-open" id="damage-{n}"' in html
        for n in range(1, 7)
    )


def test_without_a_damage_the_page_says_where_to_pin_one(client):
    stocked()
    html = page(client, JobFactory())

    assert "No damage is pinned yet" in html
    assert "Pin the first damage" in html


@pytest.mark.parametrize(("who", "leads"), [("owner", True), ("bench", False)])
def test_an_empty_catalogue_is_said_and_the_owner_is_led_to_it(as_person, request, who, leads):
    html = page(as_person(request.getfixturevalue(who)), JobFactory())

    assert "The catalogue is empty." in html
    assert (f'href="{reverse("catalogue")}"' in html) is leads


def test_a_damage_nobody_described_asks_for_its_answers(client, job, counter):
    damages.pin(job, -0.4, 0.03, who=counter)

    assert "Say what kind of damage it is." in card(page(client, job), 4)


def test_one_primary_action_leads_on_to_the_quote(client, job):
    html = page(client, job)

    assert html.count("is-primary") == 1
    assert "Go on to the quote" in html


def test_lengths_are_in_the_readers_units(client, job, counter):
    counter.length_unit = "in"
    counter.save()

    assert not re.search(r"\d mm ", card(page(client, job), 3).replace("120 mm", ""))


@pytest.mark.parametrize("more", [0, 6])
def test_the_page_asks_the_database_as_often_for_many_damages_as_for_one(
    client, job, counter, django_assert_num_queries, more
):
    for n in range(more):
        on_the_edge(job, 0.1 * n + 0.2, "cut", side="left", who=counter, mm=30)
    page(client, job)

    with django_assert_num_queries(QUERIES):
        page(client, job)


# What people change


def test_another_alternative_is_advised_by_a_tap(client, job):
    repair = repair_of(job, "bladder-patch")
    assert not repair.preferred

    answer = client.post(reverse("repair-choose", args=[job.number, repair.pk]))

    assert answer.status_code == 302
    assert repair_of(job, "bladder-patch").preferred
    assert not repair_of(job, "bladder-replace-le").preferred


def test_a_repair_is_left_out_and_put_back(client, job):
    repair = repair_of(job, "mirror-place-check")

    client.post(reverse("repair-drop", args=[job.number, repair.pk]))
    html = card(page(client, job), 1)
    assert "Left out: " in html

    client.post(reverse("repair-add", args=[job.number]), {"damage": 1, "operation": "mirror-place-check"})
    assert "Left out: " not in page(client, job)
    assert repair_of(job, "mirror-place-check")


def test_an_operation_of_the_catalogue_is_added_once_however_often_it_is_sent(client, job):
    for _ in range(2):
        client.post(
            reverse("repair-add", args=[job.number]), {"damage": 2, "operation": "full-check", "key": "once"}
        )

    assert Repair.objects.filter(operation__code="full-check").count() == 1
    assert Operation.objects.get(code="full-check").name in card(page(client, job), 2)


@pytest.mark.parametrize(
    "sent", [{}, {"damage": "99", "operation": "full-check"}, {"damage": "²", "operation": "x"}]
)
def test_an_addition_that_names_nothing_is_refused_with_a_sentence(client, job, sent):
    answer = client.post(reverse("repair-add", args=[job.number]), sent)

    assert answer.status_code == 422
    assert "Choose the damage, and what is to be done about it." in answer.content.decode()


# One lay-up


def test_every_figure_of_a_layup_opens_to_its_arithmetic(client, job):
    repair = repair_of(job, "casing-patch-small")

    html = client.get(reverse("repair", args=[job.number, repair.pk])).content.decode()

    assert "How this was worked out" in html
    assert html.count('<details class="opens figure-row">') > 5
    assert html.count('class="steps-how"') > 5
    assert "<cite>" in html


def test_a_stronger_layup_is_kept(client, job):
    repair = repair_of(job, "casing-patch-small")

    answer = change(client, repair, rows=4, plies_inside=2)

    assert answer.status_code == 302
    layup = proposals.layup_of(repair_of(job, "casing-patch-small"))
    assert (layup.rows, layup.plies_inside) == (4, 2)


def test_a_layup_that_is_too_weak_says_by_how_much_and_keeps_what_was_typed(client, job):
    repair = repair_of(job, "casing-patch-small")

    answer = change(client, repair, rows="1", pitch="6 mm")

    html = answer.content.decode()
    assert answer.status_code == 422
    assert re.search(r"This is \d+ % too weak here", html)
    assert "only the owner can let it stand" in html
    assert 'value="6 mm"' in html
    assert "Why it may stand" not in html
    assert proposals.layup_of(repair_of(job, "casing-patch-small")).rows == 2


def test_the_owner_alone_may_let_a_weak_layup_stand_with_a_reason(as_person, owner, job):
    client, repair = as_person(owner), repair_of(job, "casing-patch-small")

    asked = change(client, repair, rows="1", pitch="6 mm")
    assert asked.status_code == 422
    assert "Why it may stand" in asked.content.decode()

    kept = change(client, repair, rows="1", pitch="6 mm", reason="Only for the way home.")
    assert kept.status_code == 302
    html = card(page(client, job), 2)
    assert "too weak for this place" in html
    assert "Only for the way home." in html


def test_a_reason_does_not_help_who_is_not_the_owner(client, job):
    repair = repair_of(job, "casing-patch-small")

    answer = change(client, repair, rows="1", pitch="6 mm", reason="I think so.")

    assert answer.status_code == 422


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("rows", "-1", "Count them, 1 to 8."),
        ("rows", "many", "Count them, 1 to 8."),
        ("plies_inside", "99", "Count them, 0 to 6."),
        ("pitch", "", "Measure a stitch: 3 mm."),
        ("pitch", "9 m", "The stitch pitch lies between 1 and 6 mm."),
        ("along", "5 mm", "leave both empty"),
        ("thread", "<b>", "Choose one of these threads."),
        ("reason", "x" * 10_000, "Say it in 300 letters or fewer"),
    ],
)
def test_a_figure_that_cannot_be_is_said_beside_it_and_the_rest_is_kept(client, job, field, typed, sentence):
    repair = repair_of(job, "casing-patch-small")

    answer = change(client, repair, **{"plies_outside": "3", field: typed})

    html = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in html or field == "reason"
    assert 'value="3"' in html


def test_a_layup_somebody_else_changed_is_told_and_what_was_typed_is_kept(client, job, counter):
    repair = repair_of(job, "casing-patch-small")
    proposals.change_layup(repair, who=counter, version=repair.version, rows=3)

    answer = change(client, repair, rows="5")

    html = answer.content.decode()
    assert answer.status_code == 422
    assert "Somebody has changed" in html
    assert 'value="5"' in html
    assert f'name="version" value="{repair.version + 1}"' in html


def test_a_changed_layup_goes_back_to_the_proposal(client, job):
    repair = repair_of(job, "casing-patch-small")
    change(client, repair, rows="4")
    changed = repair_of(job, "casing-patch-small")

    client.post(
        reverse("repair", args=[job.number, changed.pk]), {"as": "proposed", "version": changed.version}
    )

    assert proposals.layup_of(repair_of(job, "casing-patch-small")).rows == 2


def test_tape_and_seams_ask_only_for_their_own_figures(client, job, counter):
    on_the_edge(job, 0.5, "seam opened", who=counter, mm=60)
    tape, seam = repair_of(job, "canopy-tape"), repair_of(job, "segment-seam-resew")

    taped = client.get(reverse("repair", args=[job.number, tape.pk])).content.decode()
    sewn = client.get(reverse("repair", args=[job.number, seam.pk])).content.decode()

    assert 'name="faces"' in taped
    assert 'name="rows"' not in taped
    assert 'name="tapes"' in sewn
    assert 'name="along"' not in sewn


def test_a_patch_is_measured_along_and_around_a_tube_or_on_a_canopy_from_front_to_back(client, job):
    sides = {"Along the tube", "Around the tube", "Along the span", "From front to back"}
    for code, asked in (
        ("casing-patch-small", {"Along the tube", "Around the tube"}),
        ("canopy-patch-sewn", {"Along the span", "From front to back"}),
    ):
        shown = client.get(reverse("repair", args=[job.number, repair_of(job, code).pk])).content.decode()
        assert {side for side in sides if side in shown} == asked


def test_a_repair_of_another_job_is_not_found(client, job):
    repair, other = repair_of(job, "casing-patch-small"), JobFactory()

    assert client.get(reverse("repair", args=[other.number, repair.pk])).status_code == 404
    assert client.get(f"/jobs/{job.number}/repairs/{10**30}/").status_code == 404


def test_looking_at_the_repairs_of_an_agreed_job_changes_none_of_them(client, job):
    proposals.propose_job(job)
    Job.objects.filter(pk=job.pk).update(stage=Stage.BENCH)
    Repair.objects.filter(operation__code="mirror-place-check").delete()

    page(client, job)

    assert not Repair.objects.filter(operation__code="mirror-place-check").exists()

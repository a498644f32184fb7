import re

import pytest
from django.urls import reverse

from shoprepair.jobs import damages
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.units import Typed
from tests.counter.checking_in import HTMX, OFF, ON_THE_EDGE, answer, desk, enquiry, pin
from tests.factories import DamageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, counter):
    return as_person(counter)


@pytest.fixture
def job(counter) -> Job:
    return enquiry(counter)


@pytest.fixture
def cut(client, job) -> Damage:
    """A damage said to be a cut, nothing more."""
    damage = pin(client, job)
    answer(client, damage, kind="cut")
    damage.refresh_from_db()
    return damage


def text(response) -> str:
    return response.content.decode()


def test_every_part_of_the_drawing_is_a_link_that_works_without_a_script(client, job):
    page = text(client.get(desk(job)))
    links = re.findall(r'href="([^"]*\?x=[^"]*)"[^>]*aria-label="([^"]+)"', page) or re.findall(
        r'<a href="([^"]*\?x=[^"]*)"', page
    )
    assert len(links) > 20
    address = (links[0][0] if isinstance(links[0], tuple) else links[0]).replace("&amp;", "&")
    assert "New damage" in text(client.get(address))


def test_a_tap_pins_a_damage_and_asks_what_it_is(client, job):
    response = client.post(reverse("damage-pin", args=[job.number]), {**ON_THE_EDGE, "key": "tap"}, **HTMX)
    page = text(response)
    damage = Damage.objects.get()
    assert (damage.element, damage.side) == ("leading edge", "right")
    assert response["HX-Replace-Url"] == f"{desk(job)}?damage=1"
    assert "<html" not in page
    assert "right of centre" in page
    assert 'name="kind"' in page
    assert "Say what kind of damage it is." in page


def test_the_same_tap_sent_twice_pins_one(client, job):
    assert pin(client, job, key="tap") == pin(client, job, key="tap")
    assert Damage.objects.count() == 1
    pin(client, job, key="another tap")
    assert Damage.objects.count() == 2


@pytest.mark.parametrize(
    ("at", "sentence"),
    [
        (OFF, "off the wing. Tap a part of the drawing."),
        ({"x": "1e99", "y": "0"}, "not on the drawing"),
        ({"x": "nan", "y": "0"}, "Tap the drawing once more"),
        ({"x": "inf", "y": "0"}, "Tap the drawing once more"),
        ({"x": "here"}, "Tap the drawing once more"),
        ({}, "Tap the drawing once more"),
    ],
)
def test_a_tap_beside_the_drawing_says_so_and_pins_nothing(client, job, at, sentence):
    fragment = client.post(reverse("damage-pin", args=[job.number]), {**at, "key": "tap"}, **HTMX)
    page = client.post(reverse("damage-pin", args=[job.number]), at)
    assert (fragment.status_code, page.status_code) == (422, 422)
    assert sentence in text(fragment)
    assert sentence in text(page)
    assert "<html" in text(page)
    assert not Damage.objects.exists()


def test_a_kind_that_cannot_be_there_pins_nothing(client, job):
    fields = {**ON_THE_EDGE, "kind": "crack", "key": "tap"}
    page = client.post(reverse("damage-pin", args=[job.number]), fields)
    assert page.status_code == 422
    assert "That cannot happen to a leading edge" in text(page)
    assert not Damage.objects.exists()


def test_a_tap_beside_the_drawing_leaves_the_open_damage_and_its_typing_alone(client, job):
    pin(client, job)
    response = client.post(reverse("damage-pin", args=[job.number]), OFF, **HTMX)
    assert (response["HX-Retarget"], response["HX-Reswap"]) == ("#said", "outerHTML")
    assert 'id="panel"' not in text(response)


def shown(client, job: Job) -> str:
    """What the check-in page says of the drawing that it shows."""
    return re.search(r'name="drawn" value="(\w+)"', text(client.get(desk(job))))[1]


def test_a_page_that_shows_the_drawing_gets_its_pins_alone(client, job):
    drawn = shown(client, job)
    at = {**ON_THE_EDGE, "drawn": drawn}
    whole = text(client.post(reverse("damage-pin", args=[job.number]), ON_THE_EDGE, **HTMX))
    response = client.post(reverse("damage-pin", args=[job.number]), at, **HTMX)
    page = text(response)
    assert (response["HX-Retarget"], response["HX-Reswap"]) == ("#panel", "outerHTML")
    assert re.findall(r'data-pin="(\d)"', page) == ["1", "2"]
    assert "data-region" in whole
    assert "data-region" not in page
    assert '<svg xmlns="http://www.w3.org/2000/svg"><g id="desk-pins" data-hx-swap-oob="true">' in page
    assert 'id="desk-pins"' in whole
    assert reverse("damage-move", args=[job.number, 2]) in page


def test_an_answer_colours_its_pin_and_sends_no_drawing_again(client, cut):
    at = {"drawn": shown(client, cut.job), "length": "35 mm", "direction": "around"}
    page = text(answer(client, cut, **at))
    assert "pin band-" in page
    assert "pin band-unknown" not in page
    assert "data-region" not in page


def test_who_shows_another_drawing_gets_the_one_that_holds_now(client, job):
    drawn = shown(client, job)
    job.inflatable.pattern.version += 1
    job.inflatable.pattern.save()
    pinned = client.post(reverse("damage-pin", args=[job.number]), {**ON_THE_EDGE, "drawn": drawn}, **HTMX)
    assert pinned["HX-Retarget"] == "#desk"
    assert f'value="{shown(client, job)}"' in text(pinned)
    assert shown(client, job) != drawn


def test_a_page_that_waits_for_a_pins_new_place_is_drawn_anew_after_it(client, cut):
    page = text(client.get(desk(cut.job), {"damage": 1, "move": 1}))
    assert 'name="drawn" value=""' in page
    moved = client.post(
        reverse("damage-move", args=[cut.job.number, 1]), {"x": "0.2", "y": "0.03", "drawn": ""}, **HTMX
    )
    assert moved["HX-Retarget"] == "#desk"


def test_a_pin_costs_as_few_statements_as_it_can(client, job, django_assert_num_queries):
    at = {**ON_THE_EDGE, "drawn": shown(client, job)}

    # Log-in with the shop, job; the key looked for, taken and told its result, within two of the test's own;
    # job locked, highest number, damage, worst damage, job, journal; damages, and two of what is missing.
    with django_assert_num_queries(16):
        client.post(reverse("damage-pin", args=[job.number]), {**at, "key": "tap"}, **HTMX)


def test_a_tap_beside_the_drawing_may_be_sent_again_with_the_same_key(client, job):
    client.post(reverse("damage-pin", args=[job.number]), {**OFF, "key": "tap"}, **HTMX)
    assert pin(client, job, key="tap").number == 1


def test_saying_the_kind_brings_only_the_questions_of_that_kind(client, job):
    damage = pin(client, job)
    response = answer(client, damage, kind="cut")
    assert response["HX-Retarget"] == "#desk"
    page = text(response)
    for name in ("length", "direction", "face", "through_bladder", "old_patch", "wet", "condition"):
        assert f'name="{name}"' in page
    assert 'name="fold"' not in page
    assert 'name="fold"' in text(answer(client, damage, kind="scuff"))
    assert 'name="softens"' in text(answer(client, damage, kind="leak"))


def test_each_answer_comes_back_with_the_verdict_and_leaves_the_typing_alone(client, cut):
    response = answer(client, cut, kind="cut", length="35", direction="along")
    page = text(response)
    assert "HX-Retarget" not in response
    assert 'id="verdict"' in page
    assert "λ" in page
    assert "Runs from" in page
    assert 'name="length"' not in page
    cut.refresh_from_db()
    assert (cut.length_m, cut.length_typed, cut.direction) == (pytest.approx(0.035), "35 mm", "along")
    assert f"{cut.urgency}" in page
    assert cut.band in page


def test_the_verdict_opens_to_its_figures_and_carries_its_cautions(client, cut):
    page = text(answer(client, cut, kind="cut", length="35 mm"))
    assert "How this was worked out" in page
    assert "assumed" in page
    assert "Screening figures, not a certificate" in page
    assert "eye and ear protection" in page


def test_an_answer_nobody_gave_counts_as_the_worse_and_the_verdict_says_so(client, cut):
    page = text(answer(client, cut, kind="cut", length="35 mm"))
    assert re.search(r"[Dd]irection[^<]*(not said|worse|worst)", page)


def test_a_figure_typed_in_the_persons_own_units_is_kept_as_typed(client, counter, job):
    counter.length_unit = "in"
    counter.save()
    damage = pin(client, job)
    page = text(answer(client, damage, kind="cut"))
    assert "1/2 in" in page
    answer(client, damage, kind="cut", length="1 3/8")
    damage.refresh_from_db()
    assert (damage.length_m, damage.length_typed) == (pytest.approx(0.034925), "1 3/8 in")


@pytest.mark.parametrize(
    ("length", "sentence"),
    [
        ("0", "is none. Measure it from end to end"),
        ("3 m", "Did you mean"),
        ("-5", "cannot be negative"),
        ("a hand", "cannot be read as a length"),
        ("9" * 40, "That is too long"),
        ("<b>35</b>", "cannot be read as a length"),
    ],
)
def test_a_length_that_cannot_be_is_said_so_beside_its_field(client, cut, length, sentence):
    fragment = answer(client, cut, kind="cut", length=length, direction="along", note="near the valve")
    assert fragment.status_code == 422
    assert re.search(rf'id="error-length"[^>]*>[^<]*{re.escape(sentence)}', text(fragment))
    assert "<b>35" not in text(fragment)
    page = answer(
        client, cut, htmx=False, kind="cut", length=length, direction="along", note="near the valve"
    )
    assert page.status_code == 422
    assert sentence in text(page)
    assert "near the valve" in text(page)
    assert re.search(r'value="along"\s+checked', text(page))
    cut.refresh_from_db()
    assert (cut.length_m, cut.direction, cut.note) == (None, "not said", "")


def test_a_verdict_says_that_it_is_of_the_answers_before_where_a_new_one_is_refused(client, cut):
    taken = text(answer(client, cut, kind="cut", length="35 mm", direction="along"))
    refused = text(answer(client, cut, kind="cut", length="a hand", direction="along"))

    assert "data-outdated" not in taken
    assert "data-outdated" in refused
    assert "This still judges the answers from before." in refused
    assert "One answer could not be taken." in refused


@pytest.mark.parametrize(
    "answers", [{"kind": "tear"}, {"direction": "upwards"}, {"angle_deg": "steep"}, {"face": "<b>"}]
)
def test_an_answer_that_does_not_exist_is_refused(client, cut, answers):
    assert answer(client, cut, **{"kind": "cut", "length": "35 mm", **answers}).status_code == 422
    cut.refresh_from_db()
    assert (cut.kind, cut.direction, cut.face) == ("cut", "not said", "not said")


@pytest.mark.parametrize("kind", ["cut", "scuff", "seam opened", "burst", "leak", "residue", "stain"])
def test_every_answer_that_is_offered_is_taken(client, job, kind):
    damage = pin(client, job)
    page = text(answer(client, damage, kind=kind))
    offered = re.findall(r'type="radio"\s+id="[^"]*"\s+name="([^"]+)"\s+value="([^"]*)"', page)
    questions = {name for name, _ in offered}
    assert "kind" in questions
    for name, value in offered:
        if name not in {"kind", "damage"}:
            assert answer(client, damage, kind=kind, **{name: value}).status_code == 200, (name, value)
            damage.refresh_from_db()
            assert str(getattr(damage, name)) == value


def test_a_cut_at_an_angle_is_asked_how_steep(client, cut):
    page = text(answer(client, cut, kind="cut", length="35 mm", direction="at an angle"))
    assert 'name="angle_deg"' in page
    assert answer(client, cut, kind="cut", direction="at an angle", angle_deg="30").status_code == 200
    cut.refresh_from_db()
    assert cut.angle_deg == 30
    assert re.search(r'value="30"\s+checked', text(client.get(desk(cut.job))))
    answer(client, cut, kind="cut", direction="at an angle", angle_deg="")
    cut.refresh_from_db()
    assert cut.angle_deg is None


def test_what_another_tablet_wrote_is_shown_beside_what_is_typed_here(client, counter, cut):
    mine = str(cut.version)
    damages.answer(cut, who=counter, length=Typed(0.04, "40 mm"), direction="around")
    address = reverse("damage", args=[cut.job.number, cut.number])
    fields = {"version": mine, "kind": "cut", "length": "35 mm", "direction": "around"}
    fragment = client.post(address, fields, **HTMX)
    page = text(fragment)
    assert fragment.status_code == 422
    assert "Somebody else has changed damage 1 meanwhile" in page
    assert "they say <b>40 mm</b>, here it says <b>35 mm</b>" in page
    assert "Direction: they say" not in page
    assert 'name="length"' not in page
    whole = client.post(address, fields)
    assert 'value="35 mm"' in text(whole)
    cut.refresh_from_db()
    assert cut.length_typed == "40 mm"

    client.post(address, {**fields, "version": [mine, str(cut.version)]}, **HTMX)
    cut.refresh_from_db()
    assert cut.length_typed == "35 mm"


def test_answers_without_their_state_are_not_taken_for_anything(client, cut):
    address = reverse("damage", args=[cut.job.number, cut.number])
    assert client.post(address, {"length": "35 mm"}, **HTMX).status_code == 422
    cut.refresh_from_db()
    assert cut.length_m is None


def test_sending_the_same_answers_again_changes_nothing(client, cut):
    answer(client, cut, kind="cut", length="35")
    cut.refresh_from_db()
    version = cut.version
    assert answer(client, cut, kind="cut", length="35 mm").status_code == 200
    cut.refresh_from_db()
    assert cut.version == version


def test_without_a_script_the_whole_way_is_pages_and_forms(client, job):
    asked = text(client.get(desk(job), ON_THE_EDGE))
    assert "New damage" in asked
    assert f'action="{reverse("damage-pin", args=[job.number])}"' in asked
    response = client.post(
        reverse("damage-pin", args=[job.number]), {**ON_THE_EDGE, "kind": "cut", "key": "k"}
    )
    damage = Damage.objects.get()
    assert (damage.kind, response.url) == ("cut", f"{desk(job)}?damage=1#panel")
    response = answer(client, damage, htmx=False, kind="cut", length="35")
    assert response.url == f"{desk(job)}?damage=1#panel"
    assert "λ" in text(client.get(desk(job), {"damage": "1"}))

    move = text(client.get(desk(job), {"damage": "1", "move": "1", "x": "-0.6", "y": "0.1"}))
    assert "Move damage 1 to" in move
    client.post(reverse("damage-move", args=[job.number, 1]), {"x": "-0.6", "y": "0.1"})
    damage.refresh_from_db()
    assert (damage.side, damage.kind) == ("left", "cut")


def test_a_pin_moved_beside_the_drawing_stays_where_it_was(client, cut):
    where = reverse("damage-move", args=[cut.job.number, cut.number])
    assert client.post(where, OFF, **HTMX).status_code == 422
    assert client.post(where, {}, **HTMX).status_code == 422
    cut.refresh_from_db()
    assert cut.x_m == pytest.approx(0.3)


def test_a_removed_damage_can_be_brought_back(client, cut):
    page = text(client.post(reverse("damage-remove", args=[cut.job.number, 1]), **HTMX))
    assert "Damage 1 is removed." in page
    assert damages.live(cut.job) == []
    assert client.get(reverse("damage", args=[cut.job.number, 1])).status_code == 404
    assert client.post(reverse("damage-remove", args=[cut.job.number, 1])).url == f"{desk(cut.job)}?removed=1"
    page = text(client.post(reverse("damage-restore", args=[cut.job.number, 1]), **HTMX))
    assert "Damage 1" in page
    assert damages.live(cut.job) == [cut]


def test_the_job_sheets_forms_come_back_to_it_and_to_nowhere_else(client, cut):
    remove = reverse("damage-remove", args=[cut.job.number, 1])
    assert client.post(remove, {"next": "/jobs/1/#damages"}).url == "/jobs/1/#damages"
    assert client.post(remove, {"next": "https://elsewhere.example/"}).url == f"{desk(cut.job)}?removed=1"


def test_the_panel_of_a_damage_is_the_check_in_page_with_it_open(client, cut):
    pin(client, cut.job, key="second")
    assert client.get(reverse("damage", args=[cut.job.number, 1])).url == f"{desk(cut.job)}?damage=1#panel"
    fragment = text(client.get(reverse("damage", args=[cut.job.number, 1]), **HTMX))
    assert re.search(r'class="panel-number">Damage 1<', fragment)
    assert re.search(r'class="panel-number">Damage 2<', text(client.get(desk(cut.job))))


def test_notes_and_titles_are_shown_as_text(client, cut):
    cut.job.customer.name = "<img src=x>"
    cut.job.customer.save()
    answer(client, cut, kind="cut", length="35 mm", note="<script>x()</script>")
    page = text(client.get(desk(cut.job)))
    assert "<script>x" not in page
    assert "<img src=x" not in page
    assert "&lt;script&gt;x" in page


def test_an_answer_costs_the_same_with_one_damage_and_with_five(client, cut, django_assert_max_num_queries):
    answer(client, cut, kind="cut", length="35 mm")
    with django_assert_max_num_queries(40) as one:
        answer(client, cut, kind="cut", length="36 mm")
    for n in range(4):
        pin(client, cut.job, key=f"pin {n}")
    with django_assert_max_num_queries(40) as five:
        answer(client, cut, kind="cut", length="37 mm")
    assert len(one) == len(five)


def test_pages_of_jobs_and_damages_that_do_not_exist_are_not_found(client, job):
    for page in (reverse("job-check-in", args=[404]), reverse("damage", args=[job.number, 9])):
        assert client.get(page).status_code == 404
    assert client.post(reverse("damage-pin", args=[404])).status_code == 404
    assert client.get(reverse("damage-pin", args=[job.number])).status_code == 405


@pytest.mark.parametrize(
    "elsewhere", ["//evil.example/x", "https://evil.example/", "/\\evil.example", "rack", "nan", "", "é"]
)
def test_after_a_removal_nobody_is_led_anywhere_but_to_a_page_of_the_shop(as_person, counter, elsewhere):
    damage = DamageFactory()
    address = reverse("damage-remove", args=[damage.job.number, damage.number])
    answer = as_person(counter).post(address, {"next": elsewhere})
    assert answer.status_code == 302
    assert answer["Location"].startswith(f"/jobs/{damage.job.number}/check-in/")

import re
from decimal import Decimal

import pytest
from django.urls import reverse

from shoprepair.gear import library
from shoprepair.office.forms.operations import OperationForm, UsesForm
from shoprepair.pricing import catalogue, learning
from shoprepair.pricing.models import Operation
from shoprepair.shop import journal
from tests.factories import JobFactory
from tests.office.reading import words

pytestmark = pytest.mark.django_db

UNTOUCHED = "A change touches no quote already out."


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


@pytest.fixture
def tape() -> Operation:
    """The catalogue as it comes with the program, and of it the canopy tape."""
    library.load()
    catalogue.load()
    return Operation.objects.get(code="canopy-tape")


def listed(client, query: str = "") -> list[str]:
    page = words(client.get(f"{reverse('catalogue')}{query}"))
    return re.findall(r'<th scope="row"><a href="[^"]*">([^<]*)</a>', page)


def typed(operation: Operation | None, **changes) -> dict:
    """The form of an operation as it is shown, with these typed over."""
    form, uses = OperationForm(operation), UsesForm(operation)
    fields = {form[name].html_name: form[name].value() for name in form.fields}
    for row in uses.rows:
        fields |= {row[name].html_name: row[name].value() for name in row.fields}
    sent = {name: value for name, value in (fields | changes).items() if value is not False}
    return {name: "" if value is None else "on" if value is True else value for name, value in sent.items()}


def change(client, operation: Operation, **changes):
    return client.post(reverse("operation", args=[operation.pk]), typed(operation, **changes))


def refusal(client, operation: Operation, **changes) -> str:
    answer = change(client, operation, **changes)
    assert answer.status_code == 422
    assert Operation.objects.get(pk=operation.pk).version == operation.version
    return words(answer)


def test_the_catalogue_lists_every_operation_by_its_part_with_a_price(client, tape):
    page = words(client.get(reverse("catalogue")))

    assert len(listed(client)) == Operation.objects.count()
    assert page.index(">Casing</h2>") < page.index(">Canopy</h2>") < page.index(">Cleaning and checks</h2>")
    assert "<b>$230.35</b>" in page
    assert UNTOUCHED in page


def test_the_catalogue_is_searched_by_name_and_step_and_narrowed_to_a_part(client, tape):
    assert "Replace a hose" in listed(client, "?text=hose")
    assert "Tape a small canopy tear" in listed(client, "?text=CANOPY+tape")
    assert listed(client, "?text=goggles") == ["Tape a cracked window"]
    assert len(listed(client, "?area=window")) == 2
    assert listed(client, "?use=off") == []
    assert listed(client, "?text=%00%3Cb%3E") == []
    assert len(listed(client, "?area=nowhere&use=maybe")) == Operation.objects.count()


def test_the_catalogue_asks_the_database_as_often_for_many_as_for_few(
    client, tape, django_assert_num_queries
):
    client.get(reverse("catalogue"))
    with django_assert_num_queries(8):
        client.get(reverse("catalogue"))


def test_an_empty_catalogue_is_filled_by_one_button(client):
    library.load()
    assert "The catalogue is empty" in words(client.get(reverse("catalogue")))
    client.post(reverse("catalogue-bring-in"))
    assert len(listed(client)) == Operation.objects.count() >= 30


def test_an_operation_is_switched_off_where_it_stands(client, tape):
    address = reverse("operation-switch", args=[tape.pk])
    answer = client.post(address, {"active": "no", "version": tape.version, "area": "canopy"})

    assert answer["Location"] == f"/office/catalogue/?area=canopy#operation-{tape.pk}"
    assert listed(client, "?use=off") == [tape.name]
    assert "no new quote proposes it" in words(client.get(reverse("operation", args=[tape.pk])))
    client.post(address, {"active": "yes", "version": 2})
    assert listed(client, "?use=off") == []


@pytest.mark.parametrize("version", ["", "x", "-1", "99", "1" * 40])
def test_a_switch_pressed_on_an_old_page_is_refused_in_words(client, tape, version):
    answer = client.post(
        reverse("operation-switch", args=[tape.pk]), {"active": "no", "version": version}, follow=True
    )
    assert "Somebody has changed" in words(answer)
    assert Operation.objects.get(pk=tape.pk).active


def test_saving_an_operation_as_it_is_shown_changes_nothing(client, tape):
    for operation in Operation.objects.all():
        answer = change(client, operation)
        assert answer.status_code == 302, words(answer)
    assert set(Operation.objects.values_list("version", flat=True)) == {1}


def test_what_is_changed_is_said_and_kept_with_what_was_before(client, tape):
    answer = change(client, tape, set_up_minutes="12,5", steps="Wipe.\n\nTape.", cover_months="6")
    assert answer["Location"] == reverse("operation", args=[tape.pk])

    page = words(client.get(answer["Location"]))
    tape.refresh_from_db()
    assert (tape.set_up_minutes, tape.steps, tape.cover_months) == (Decimal("12.5"), ["Wipe.", "Tape."], 6)
    assert "Saved: Set-up, Steps, Cover lasts." in page
    assert "<dt>Set-up</dt><dd><del>9 min</del>" in page
    assert "<del>12 months</del>" in page


def test_the_owner_says_whether_a_cover_passes_to_a_new_owner(client, tape):
    page = words(client.get(change(client, tape, cover_passes_on="first-only")["Location"]))
    tape.refresh_from_db()
    assert not tape.cover_passes_on
    assert "<del>passes to a new owner</del>" in page
    assert refusal(client, tape, cover_passes_on="perhaps").count("Choose one of those shown.") == 2


def test_materials_are_added_changed_and_taken_out_by_their_rows(client, tape):
    hose = Operation.objects.get(code="hose-replace").materials.get(material__code="hose").material
    change(
        client,
        tape,
        **{"row0-material": "", "row0-quantity": "", "row1-quantity": "3"},
        **{"row2-material": hose.pk, "row2-quantity": "0,25", "row2-basis": "per-m"},
    )
    rows = tape.materials.order_by("pk").values_list("material__code", "quantity", "basis")
    assert list(rows) == [
        ("alcohol-wipe", Decimal("3.000"), "each"),
        ("hose", Decimal("0.250"), "per-m"),
    ]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"set_up_minutes": "-5"}, "-5 min is out of range; write a figure between 0 and 2400."),
        ({"set_up_minutes": "ten"}, "“ten” is no number"),
        ({"set_up_minutes": "1e3"}, "“1e3” is no number"),
        ({"set_up_minutes": ""}, "Write a figure."),
        ({"minutes_per_m": "7.25"}, "Write it with one decimal at most."),
        ({"steps": " \n "}, "Write what is done, one step a line."),
        ({"steps": "Sew.\n" * 13}, "13 steps are more than anybody follows; 12 at most."),
        ({"steps": "x" * 201}, "A step has at most 200 letters"),
        ({"name": ""}, "Give the operation a name."),
        ({"name": "replace a hose"}, "The catalogue has “replace a hose” already."),
        ({"cover_terms": ""}, "Say what is covered, or that nothing is."),
        ({"cover_months": "1.5"}, "Write it with no decimals at most."),
        ({"row0-quantity": ""}, "Write how much of it is used, more than 0."),
        ({"row0-quantity": "0"}, "Write how much of it is used, more than 0."),
        ({"row0-quantity": "-2"}, "-2 is out of range"),
        ({"row2-quantity": "2"}, "Choose what this quantity is of, or empty the row."),
        ({"row0-material": "999999"}, "Choose one of those shown."),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_saved(client, tape, changes, sentence):
    assert sentence.replace("'", "&#x27;") in refusal(client, tape, **changes)


def test_markup_in_a_field_is_only_words(client, tape):
    change(client, tape, name="<script>x</script>", steps="<img src=x onerror=y>.")
    page = client.get(reverse("operation", args=[tape.pk])).content.decode()
    assert "<script>x" not in page
    assert "<img src=x" not in page


def test_the_example_follows_what_is_typed_and_saves_nothing(client, tape):
    sent = typed(tape, set_up_minutes="59") | {"try": "1"}
    whole = client.post(reverse("operation", args=[tape.pk]), sent)
    part = client.post(reverse("operation", args=[tape.pk]), sent, headers={"HX-Request": "true"})

    assert (whole.status_code, part.status_code) == (200, 200)
    assert "$74.60" in words(whole)
    assert words(part).startswith("<h2>A typical case</h2>")
    assert "$74.60" in words(part)
    assert Operation.objects.get(pk=tape.pk).version == 1


def test_an_example_that_cannot_be_read_says_when_it_will_be(client, tape):
    sent = typed(tape, set_up_minutes="") | {"try": "1"}
    part = client.post(reverse("operation", args=[tape.pk]), sent, headers={"HX-Request": "true"})
    assert "Its price shows here once" in words(part)


def test_of_two_who_save_the_second_learns_of_the_first_and_keeps_her_typing(client, tape):
    early = typed(tape, set_up_minutes="15")
    change(client, tape, set_up_minutes="12")
    answer = client.post(reverse("operation", args=[tape.pk]), early)
    page = words(answer)

    assert answer.status_code == 422
    assert "Somebody has changed “Tape a small canopy tear” since you opened it." in page
    assert 'value="15"' in page
    again = early | {"version": re.search(r'name="version" value="(\d+)"', page)[1]}
    assert client.post(reverse("operation", args=[tape.pk]), again).status_code == 302
    assert Operation.objects.get(pk=tape.pk).set_up_minutes == 15


def test_an_operation_of_ones_own_is_added_once_however_often_it_is_sent(client, tape):
    sent = typed(None, name="Sew a leash loop", steps="Sew it.", cover_terms="Covered.", key="k" * 32)
    for _ in range(2):
        answer = client.post(reverse("operation-add"), sent)
        assert answer["Location"] == reverse("catalogue"), words(answer)
    own = Operation.objects.get(name="Sew a leash loop")
    assert (own.code, own.area) == ("sew-a-leash-loop", "casing")
    assert [entry.verb for entry in journal.entries(own)] == ["operation.added"]
    assert own.name in listed(client)


def test_an_operation_that_cannot_be_added_says_why(client, tape):
    answer = client.post(
        reverse("operation-add"), typed(None, name=tape.name, steps="Sew.", cover_terms="No.")
    )
    assert answer.status_code == 422
    assert f"The catalogue has “{tape.name}” already." in words(answer)


def test_what_the_bench_measured_stands_beside_the_estimate_with_its_spread(client, tape):
    job = JobFactory()
    for minutes in (10, 15, 20):
        learning.measured(job, tape, Decimal(10), Decimal(minutes))
    assert "3 times, half of them<span>14 min to 19 min</span>" in words(client.get(reverse("catalogue")))
    page = words(client.get(reverse("operation", args=[tape.pk])))
    assert "from 1.00 to 2.00 times the estimate" in page
    assert "Take these minutes" not in page


def test_times_that_all_read_alike_are_no_range(client, tape):
    for _ in range(3):
        learning.measured(JobFactory(), tape, Decimal(10), Decimal(15))
    page = words(client.get(reverse("catalogue")))
    assert "3 times, nearly alike" in page
    assert "14 min to 14 min" not in page


def test_enough_measured_minutes_are_taken_with_one_button(client, tape):
    job = JobFactory()
    for minutes in (10, 15, 15, 15, 20):
        learning.measured(job, tape, Decimal(10), Decimal(minutes))
    page = words(client.get(reverse("operation", args=[tape.pk])))
    assert "Take these minutes" in page
    answer = client.post(reverse("operation-minutes", args=[tape.pk]), {"version": 1}, follow=True)
    assert "Saved: Set-up, Patch." in words(answer)
    assert Operation.objects.get(pk=tape.pk).set_up_minutes == Decimal("13.5")


def test_measured_minutes_equal_to_the_catalogues_are_not_offered_to_be_taken(client, tape):
    job = JobFactory()
    for minutes in (9, 10, 10, 10, 12):
        learning.measured(job, tape, Decimal(10), Decimal(minutes))
    page = words(client.get(reverse("operation", args=[tape.pk])))
    assert "the middle 1.00" in page
    assert "Take these minutes" not in page


def test_the_sign_of_a_caution_is_told_as_it_stands_in_the_steps(client, tape):
    assert "write ⚠ (or !! for it)" in words(client.get(reverse("operation", args=[tape.pk])))


@pytest.mark.parametrize("version", ["1", "7", "", "x", "²"])
def test_minutes_are_not_taken_from_nothing_or_on_an_old_page(client, tape, version):
    if version != "1":
        for _ in range(learning.ENOUGH):
            learning.measured(JobFactory(), tape, Decimal(10), Decimal(15))
    answer = client.post(reverse("operation-minutes", args=[tape.pk]), {"version": version}, follow=True)
    assert "Not measured yet." in words(answer) or "Somebody has changed" in words(answer)
    assert Operation.objects.get(pk=tape.pk).set_up_minutes == 9

"""The library of patterns: looked at, corrected, copied."""

import re

import pytest
from django.urls import reverse

from shoprepair.gear import everyday, library
from shoprepair.gear.models import Inflatable, Pattern
from shoprepair.jobs.models import Job
from shoprepair.mechanics.description import Kind
from shoprepair.office.forms.patterns import PatternForm
from shoprepair.shop import journal
from shoprepair.shop.models import Staff
from shoprepair.shop.units import Units
from tests.factories import (
    InflatableFactory,
    JobFactory,
    KiteFactory,
    PatternFactory,
)
from tests.office.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


@pytest.fixture
def wing(db) -> Pattern:
    """A wing of the library; of its figures the seam efficiency is assumed."""
    return PatternFactory(name="Petrel 5.0", assumed=["seam_efficiency"])


def typed(pattern: Pattern, units: Units | None = None, **changes) -> dict:
    """The form of a pattern as it is shown, with these figures typed over."""
    form = PatternForm(pattern, units or Units())
    shown = {name: form[name].value() for name in form.fields}
    keys = {name: getattr(value, "pk", value) for name, value in shown.items()}
    return {name: "" if value is None else value for name, value in (keys | changes).items()}


def edge(pattern: Pattern, figure: str) -> str:
    """The field's name of a figure of the leading edge."""
    return f"{figure}_{pattern.tubes.get(kind='leading edge').pk}"


def correct(client, pattern: Pattern, **changes):
    return client.post(reverse("pattern-edit", args=[pattern.pk]), typed(pattern, **changes))


def refusal(client, pattern: Pattern, **changes) -> str:
    answer = correct(client, pattern, **changes)
    assert answer.status_code == 422
    assert Pattern.objects.get(pk=pattern.pk).version == pattern.version
    return words(answer)


def test_the_wall_draws_every_pattern_wings_and_kites_apart(client):
    library.load()
    page = words(client.get(reverse("patterns")))
    names = list(Pattern.objects.values_list("name", flat=True))

    assert page.count('class="diagram') == len(names) >= 12
    assert all(name in page for name in names)
    assert page.index("Holm 5.0 wing") < page.index('id="kites"') < page.index("Skarv 9 kite")


def test_what_the_counter_measured_hangs_apart_from_the_library(client):
    measured = library.measured_here(
        kind=Kind.WING,
        support="handles",
        span_m=3.4,
        diameter_centre_m=0.23,
        diameter_tip_m=0.12,
        rated_pressure_pa=50_000,
        rated_pressure_typed="0.5 bar",
        struts=1,
    )
    page = words(client.get(reverse("patterns")))

    assert page.index('id="measured"') < page.index(str(measured))


def test_what_stands_in_for_a_model_not_known_hangs_apart_and_is_not_counted_with_the_library(client):
    library.load()
    everyday.pattern("wing-small")
    page = words(client.get(reverse("patterns")))
    counted = sum(int(count) for count in re.findall(r'id="(?:wings|kites)">\w+\s*<span[^>]*>(\d+)<', page))

    assert page.index('id="everyday"') < page.index("Wing up to 3.5 m², model not known")
    assert f"{counted} patterns, drawn from their figures" in words(client.get(reverse("office")))


def test_an_empty_library_says_how_to_fill_it(client):
    assert "manage.py load_library" in words(client.get(reverse("patterns")))
    assert "manage.py load_library" in words(client.get(reverse("cloths")))


@pytest.mark.parametrize("count", [1, 3])
def test_the_wall_costs_the_same_for_one_as_for_many(client, count, django_assert_num_queries):
    PatternFactory.create_batch(count)
    client.get(reverse("patterns"))
    with django_assert_num_queries(6):
        client.get(reverse("patterns"))


def test_a_pattern_shows_its_load_map_its_figures_and_what_is_assumed(client, wing):
    InflatableFactory.create_batch(2, pattern=wing)
    page = words(client.get(reverse("pattern", args=[wing.pk])))

    assert 'class="load-legend"' in page
    assert "<dt>Span</dt><dd>3.50 m</dd>" in page
    assert '<dt>Seam efficiency<span class="assumed">assumed</span></dt><dd>66 %</dd>' in page
    assert "<dt>Rated pressure</dt><dd>0.5 bar</dd>" in page
    assert "<dt>Inflatables of this pattern known here</dt><dd>2</dd>" in page


def test_a_pattern_reads_in_the_persons_units(client, wing, owner):
    Staff.objects.filter(pk=owner.pk).update(pressure_unit="psi", length_unit="in")
    page = words(client.get(reverse("pattern", args=[wing.pk])))

    assert "<dt>Rated pressure</dt><dd>7.3 psi</dd>" in page
    assert "<dt>Span</dt><dd>11 ft 6 in</dd>" in page


def test_a_corrected_figure_makes_a_new_version_and_stands_in_the_journal(client, wing, owner):
    answer = correct(client, wing, span_m="3.6", **{edge(wing, "diameter_root_m"): "250"})
    assert (answer.status_code, answer["Location"]) == (302, reverse("pattern", args=[wing.pk]))

    corrected = Pattern.objects.get(pk=wing.pk)
    assert (corrected.span_m, corrected.version) == (3.6, 2)
    assert corrected.tubes.get(kind="leading edge").diameter_root_m == pytest.approx(0.25)
    [entry] = journal.entries(wing)
    assert entry.who == owner
    assert entry.changes == {"span_m": [3.5, 3.6], "leading edge.diameter_root_m": [0.24, 0.25]}
    page = words(client.get(answer["Location"]))
    assert "<dt>Leading edge, diameter at its beginning</dt><dd><del>240 mm</del>" in page


def test_what_nobody_typed_keeps_its_last_digit(client, wing):
    Pattern.objects.filter(pk=wing.pk).update(span_m=3.4567891)
    wing.refresh_from_db()
    correct(client, wing, sweep_m="0.8 m")

    assert Pattern.objects.get(pk=wing.pk).span_m == 3.4567891


def test_a_pressure_is_kept_as_it_was_typed(client, wing):
    correct(client, wing, rated_pressure_pa="7.5 psi")
    corrected = Pattern.objects.get(pk=wing.pk)

    assert corrected.rated_pressure_typed == "7.5 psi"
    assert corrected.rated_pressure_pa == pytest.approx(51710.7, abs=0.1)


def test_a_measured_figure_is_no_longer_assumed(client, wing):
    correct(client, wing, seam_efficiency="70", assumed=["casing"])
    corrected = Pattern.objects.get(pk=wing.pk)

    assert (corrected.seam_efficiency, corrected.assumed) == (pytest.approx(0.7), ["casing"])


def test_a_doubling_is_written_in_percent(client, wing):
    correct(client, wing, **{edge(wing, "doublings"): "0–12 %, 40 to 60"})

    assert wing.tubes.get(kind="leading edge").doublings == [[0.0, 0.12], [0.4, 0.6]]


def test_a_kites_bridle_points_can_be_moved(client):
    kite = KiteFactory()
    correct(client, kite, bridle_stations="20 %, 45 %, 80 %")

    assert Pattern.objects.get(pk=kite.pk).bridle_stations == [0.2, 0.45, 0.8]


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("name", "", "Give the pattern a name."),
        ("span_m", "35", "35.00 m is out of range; write a figure between 1.00 m and 14.00 m."),
        ("span_m", "wide", "cannot be read as a length"),
        ("rated_pressure_pa", "70 bar", "70 bar is"),
        ("rated_pressure_pa", "", "Write a figure between"),
        ("area_m2", "50", "The drawing of these figures has"),
        ("area_m2", "12", "The drawing of these figures has"),
        ("chord_tip_m", "2.5", "The chord at the tip cannot be longer than at the centre."),
        ("seam_efficiency", "0.66", "0.66 is out of range; write a figure between 20 and 100."),
        ("casing", "999", "Choose one of those shown."),
        ("name", "<script>alert(1)</script>" * 9, "At most 80 letters and signs fit here"),
    ],
)
def test_a_figure_that_cannot_be_is_said_and_nothing_is_kept(client, wing, name, text, sentence):
    if (name, text) == ("area_m2", "50"):
        sentence = "50 is out of range; write a figure between 0.5 and 30."
    assert sentence in refusal(client, wing, **{name: text})


@pytest.mark.parametrize(
    ("figure", "text", "sentence"),
    [
        ("diameter_tip_m", "300", "A tube cannot be wider at its end than at its beginning"),
        ("diameter_root_m", "0", "0 mm is out of range; write a figure between 30 mm and 450 mm."),
        ("doublings", "12–0 %", "“12–0 %” is no stretch of a tube"),
        ("doublings", "half", "“half” is no stretch of a tube"),
        ("doublings", "0–120 %", "is no stretch of a tube"),
    ],
)
def test_a_tube_that_cannot_be_is_said(client, wing, figure, text, sentence):
    assert sentence in refusal(client, wing, **{edge(wing, figure): text})


def test_after_a_refusal_the_drawing_is_still_that_of_the_kept_figures(client, wing):
    refusal(client, wing, **{edge(wing, "diameter_tip_m"): "300"})
    correct(client, wing, sweep_m="0.9")

    assert 'data-what="Ends at">120 mm</td>' in words(client.get(reverse("pattern", args=[wing.pk])))


def test_of_two_who_correct_the_second_learns_of_the_first(client, wing):
    late = typed(wing, sweep_m="0.9")
    correct(client, wing, span_m="3.6")
    answer = client.post(reverse("pattern-edit", args=[wing.pk]), late)

    assert answer.status_code == 422
    assert "Somebody changed this since you opened the page." in words(answer)
    assert 'name="version" value="2"' in words(answer)
    assert Pattern.objects.get(pk=wing.pk).sweep_m == 0.75


def test_open_jobs_that_rest_on_a_pattern_are_named_before_and_after_a_change(client, wing):
    JobFactory(inflatable=InflatableFactory(pattern=wing))
    assert "1 open job rests on these figures" in words(client.get(reverse("pattern-edit", args=[wing.pk])))

    correct(client, wing, span_m="3.6")
    page = words(client.get(reverse("pattern", args=[wing.pk])))
    assert "One open job rests on the figures from before. Judge the open jobs anew under load cases." in page


def test_nothing_changed_makes_no_version(client, wing):
    correct(client, wing)

    assert Pattern.objects.get(pk=wing.pk).version == 1
    assert not journal.entries(wing).exists()


def test_a_copy_has_the_same_cut_under_its_own_name(client, wing):
    answer = client.post(reverse("pattern-copy", args=[wing.pk]), {"name": "Petrel 5.5", "key": "one"})
    copy = Pattern.objects.get(name="Petrel 5.5")

    assert answer["Location"] == reverse("pattern-edit", args=[copy.pk])
    parts = [(p.tubes.count(), p.panels.count(), p.valves.count()) for p in (wing, copy)]
    assert parts[0] == parts[1]
    assert journal.entries(copy).get().text == "Petrel 5.5 was copied from Petrel 5.0."


def test_a_double_tap_copies_once(client, wing):
    sent = {"name": "Petrel 5.5", "key": "one"}
    places = [client.post(reverse("pattern-copy", args=[wing.pk]), sent)["Location"] for _ in range(2)]

    assert places[0] == places[1]
    assert Pattern.objects.filter(name="Petrel 5.5").count() == 1


@pytest.mark.parametrize(
    ("name", "sentence"),
    [("petrel 5.0", "The library has petrel 5.0 already."), ("", "Give the copy a name.")],
)
def test_a_copy_needs_a_name_of_its_own(client, wing, name, sentence):
    answer = client.post(reverse("pattern-copy", args=[wing.pk]), {"name": name, "key": "one"})

    assert answer.status_code == 422
    assert sentence in words(answer)


def test_html_in_a_patterns_name_is_shown_as_text(client, wing):
    correct(client, wing, name="<script>alert(1)</script>")

    for page in ("patterns", "pattern", "pattern-edit"):
        args = [] if page == "patterns" else [wing.pk]
        assert "<script>alert" not in client.get(reverse(page, args=args)).content.decode()


def test_the_library_counts_no_job_of_closed_gear(client, wing):
    job = JobFactory(inflatable=InflatableFactory(pattern=wing))
    Job.objects.filter(pk=job.pk).update(is_open=False)

    assert Inflatable.objects.count() == 1
    assert "open job" not in words(client.get(reverse("pattern-edit", args=[wing.pk])))


@pytest.mark.parametrize(("text", "price"), [("1.290,50", "1290.50"), ("980", "980.00"), ("", None)])
def test_what_a_pattern_costs_new_is_read_as_money(client, wing, text, price):
    assert correct(client, wing, new_price=text).status_code == 302
    wing.refresh_from_db()
    assert (None if wing.new_price is None else str(wing.new_price)) == price


def test_a_price_below_nought_is_refused(client, wing):
    assert "An amount cannot be below nought." in refusal(client, wing, new_price="-5")


def test_a_new_price_asks_for_no_job_to_be_judged_anew(client, wing):
    JobFactory(inflatable=InflatableFactory(pattern=wing))
    correct(client, wing, new_price="990")
    page = words(client.get(reverse("pattern", args=[wing.pk])))
    assert "$990.00" in page
    assert "rests on the figures from before" not in page

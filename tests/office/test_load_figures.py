import pytest
from django.urls import reverse

from shoprepair.jobs import assessment, damages, judging_anew
from shoprepair.jobs.models import Job
from shoprepair.mechanics.description import DEFAULT_CASES, FindingKind
from shoprepair.office.forms.load_cases import GROUPS, LABELS, default, manner
from shoprepair.office.views import load_cases
from shoprepair.shop import journal
from shoprepair.shop.models import JournalEntry, LoadFigures, Staff
from shoprepair.shop.settings import cases, load_figures
from shoprepair.shop.units import Typed, Units
from tests.factories import DamageFactory, JobFactory

pytestmark = pytest.mark.django_db

PAGE = "load-figures"


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def typed(units: Units | None = None, **changes: str) -> dict[str, str]:
    """The form as it stands at its defaults, with these figures typed over."""
    units = units or Units()
    shown = {name: manner(name, units).say(default(name)) for name in LABELS}
    return {"seen": "0", **shown, **changes}


def page_of(client) -> str:
    return " ".join(client.get(reverse(PAGE)).content.decode().split())


def refusal(client, **changes: str) -> str:
    answer = client.post(reverse(PAGE), typed(**{"hot_celsius": "40", **changes}))
    assert answer.status_code == 422
    assert cases() == DEFAULT_CASES
    return answer.content.decode()


def test_every_assumed_figure_is_on_the_page_once(client):
    names = [name for group in GROUPS for name in group.names]

    assert sorted(names) == sorted(LABELS) == sorted(DEFAULT_CASES.__dataclass_fields__)
    page = page_of(client)
    assert [page.count(f'name="{name}"') for name in names] == [1] * len(names)
    assert page.count('<span class="assumed">assumed</span>') == len(names)


def test_each_figure_stands_beside_its_default(client):
    page = page_of(client)

    for said in ("default 12 m/s", "default 1000 N", "default 60 %", "default 50 °C", "default 120 minutes"):
        assert said in page


def test_a_figure_in_the_persons_units_is_kept_in_ours(client, owner):
    Staff.objects.filter(pk=owner.pk).update(temperature_unit="°F", length_unit="in")
    fahrenheit = Units(length="in", temperature="°F")
    answer = client.post(reverse(PAGE), typed(fahrenheit, hot_celsius="131", flaw_length_m="1/4 in"))

    assert answer.status_code == 302
    assert cases().hot_celsius == pytest.approx(55)
    assert cases().flaw_length_m == pytest.approx(0.00635)
    assert cases().fill_celsius == 20
    assert "default 122 °F" in page_of(client)


def test_what_nobody_typed_keeps_its_last_digit(client):
    client.post(reverse(PAGE), typed(safety_factor="3,5"))

    assert cases().safety_factor == 3.5
    assert cases().stitches_per_m == DEFAULT_CASES.stitches_per_m


def test_a_percent_sign_may_be_typed_or_left_out(client):
    client.post(reverse(PAGE), typed(faded_share="75 %", brittle_share="55"))

    assert (cases().faded_share, cases().brittle_share) == (pytest.approx(0.75), pytest.approx(0.55))


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("held_wind_m_per_s", "", "Write a figure between 3 and 40."),
        ("held_wind_m_per_s", "fresh", "“fresh” is no number"),
        ("held_wind_m_per_s", "400", "400 is out of range; write a figure between 3 and 40."),
        ("held_wind_m_per_s", "1e400", "is no number"),
        ("safety_factor", "0.5", "0.5 is out of range; write a figure between 1 and 10."),
        ("faded_share", "0.8", "0.8 is out of range; write a figure between 20 and 100."),
        ("fill_celsius", "45", "A casing in the sun cannot be colder than when it was pumped."),
        ("hot_celsius", "warm", "cannot be read as a temperature"),
        ("brittle_share", "90", "Brittle cloth cannot hold more than faded cloth"),
        ("flaw_length_m", "<b>3</b>", "cannot be read as a length"),
        ("session_s", "5", "5 is out of range; write a figure between 10 and 720."),
    ],
)
def test_what_cannot_be_is_said_beside_its_figure(client, name, text, sentence):
    assert sentence in refusal(client, **{name: text})


def test_a_change_is_journalled_and_shown_in_words(client, owner):
    client.post(reverse(PAGE), typed(held_wind_m_per_s="14"))
    [entry] = journal.entries(load_figures())

    assert (entry.who, entry.changes) == (owner, {"held_wind_m_per_s": [12.0, 14.0]})
    assert "<dt>Wind over a held wing</dt> <dd> <del>12 m/s</del>" in page_of(client)


def test_one_figure_goes_back_to_its_default_exactly(client):
    LoadFigures.objects.update_or_create(pk=1, defaults={"stitches_per_m": 250.0, "held_gust": 1.8})
    assert "Back to 333.3" in page_of(client)

    client.post(reverse(PAGE), typed(stitches_per_m="250", held_gust="1.8", back="stitches_per_m"))
    assert cases().stitches_per_m == DEFAULT_CASES.stitches_per_m
    assert cases().held_gust == 1.8


def test_of_two_who_save_the_second_learns_of_the_first(client):
    client.post(reverse(PAGE), typed(safety_factor="4"))
    late = client.post(reverse(PAGE), typed(safety_factor="5"))

    assert late.status_code == 422
    assert "Somebody changed this since you opened the page." in late.content.decode()
    assert cases().safety_factor == 4


def job_with_a_cut(who: Staff) -> Job:
    job = JobFactory()
    damage = DamageFactory(job=job, number=1, kind="", length_m=None, length_typed="")
    damages.answer(
        damage, who=who, kind=FindingKind.CUT.value, length=Typed(0.035, "35 mm"), direction="along"
    )
    return Job.objects.get(pk=job.pk)


def test_after_a_change_the_open_jobs_wait_to_be_judged_anew(client, counter):
    before = job_with_a_cut(counter)
    client.post(reverse(PAGE), typed(hot_celsius="80"))
    page = page_of(client)

    assert "The figures changed after the open jobs were last judged." in page
    assert "One job is open." in page
    assert Job.objects.get(pk=before.pk).urgency == before.urgency


def test_judging_anew_says_how_many_came_out_differently(client, counter):
    before = job_with_a_cut(counter)
    client.post(reverse(PAGE), typed(hot_celsius="80"))
    answer = client.post(reverse("re-assess"))
    page = page_of(client)

    assert answer["Location"] == reverse(PAGE)
    assert "1 open job judged anew, 1 came out differently." in page
    assert "The figures changed after" not in page
    assert Job.objects.get(pk=before.pk).urgency > before.urgency
    assert assessment.read(before.damages.get()).load_ratio > 0


def test_a_judging_that_takes_long_goes_on_where_it_stopped(client, counter, monkeypatch):
    first, second = job_with_a_cut(counter), job_with_a_cut(counter)
    monkeypatch.setattr(load_cases, "PATIENCE_S", 0.0)
    page = client.post(reverse("re-assess")).content.decode()

    assert "1 are left." in page
    assert [judging_anew.standing().after, judging_anew.standing().left] == [first.pk, 1]
    answer = client.post(reverse("re-assess"))
    assert answer["Location"] == reverse(PAGE)
    assert judging_anew.standing() is None
    assert "2 open jobs judged anew" in page_of(client)
    assert second.pk > first.pk


@pytest.mark.parametrize("after", ["", "x", "-1", "9" * 30])
def test_a_judging_told_nonsense_begins_anew(client, counter, after):
    job_with_a_cut(counter)

    assert client.post(reverse("re-assess"), {"after": after}).status_code in {200, 302}


def test_a_big_shop_is_told_the_command(client, monkeypatch):
    monkeypatch.setattr(load_cases, "MANY_JOBS", 0)
    JobFactory()

    assert "manage.py reassess" in page_of(client)


def test_without_open_jobs_there_is_nothing_to_judge(client):
    assert "No job is open." in page_of(client)


def test_the_journal_of_the_figures_only_grows(client):
    client.post(reverse(PAGE), typed(safety_factor="4"))
    seen = JournalEntry.objects.latest("id").pk
    client.post(reverse(PAGE), typed(safety_factor="5", seen=str(seen)))

    assert [entry.changes["safety_factor"] for entry in journal.entries(load_figures())] == [
        [4.0, 5.0],
        [3.0, 4.0],
    ]

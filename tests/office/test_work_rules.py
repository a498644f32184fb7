import pytest
from django.urls import reverse

from shoprepair.office.forms.work_rules import WorkRulesForm
from shoprepair.shop import journal
from shoprepair.shop.models import TemperatureUnit
from shoprepair.shop.units import Units
from shoprepair.work import rules
from tests.office.reading import words

pytestmark = pytest.mark.django_db
PAGE = "work-rules"


@pytest.fixture
def client(as_person, owner):
    return as_person(owner)


def typed(units: Units | None = None, **changes) -> dict:
    form = WorkRulesForm(rules.current(), units or Units())
    values = {name: form[name].value() for name in form.fields if name != "second_person"}
    return values | changes


def change(client, **changes):
    return client.post(reverse(PAGE), typed(**changes))


def test_saving_the_rules_as_they_are_shown_changes_nothing(client):
    assert change(client).status_code == 302
    assert rules.current().version == 1
    assert not journal.entries(rules.current()).exists()


def test_a_changed_rule_is_kept_and_journalled(client):
    change(client, second_person="on", allowed_loss_percent_per_hour="1,5 %", least_minutes="90")
    held = rules.current()
    page = words(client.get(reverse(PAGE)))
    assert (held.second_person, held.allowed_loss_percent_per_hour, held.least_minutes) == (True, 1.5, 90)
    assert "<ins>1.5 %</ins>" in page
    assert "<ins>yes</ins>" in page


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("allowed_loss_percent_per_hour", "0"),
        ("allowed_loss_percent_per_hour", "a little"),
        ("least_minutes", "1"),
        ("least_minutes", "60.5"),
        ("gauge_percent", "nan"),
        ("thermometer_k", "50"),
        ("shop_height_m", "up there"),
        ("shop_height_m", "9000 m"),
        ("forgotten_after_minutes", ""),
        ("slack_percent", "1" * 60),
    ],
)
def test_what_cannot_be_is_said_beside_its_rule_and_the_rest_is_kept(client, name, wrong):
    answer = change(client, **{name: wrong}, **({"gauge_percent": "2"} if name != "gauge_percent" else {}))
    assert answer.status_code == 422
    page = words(answer)
    assert f'id="id_{name}_error"' in page
    assert rules.current().version == 1
    if name != "gauge_percent":
        assert 'name="gauge_percent" value="2"' in page


def test_a_thermometer_is_believed_in_the_owners_degrees(client, owner):
    owner.temperature_unit = TemperatureUnit.FAHRENHEIT
    owner.save()
    assert 'name="thermometer_k" value="1.8"' in words(client.get(reverse(PAGE)))
    client.post(reverse(PAGE), typed(Units(temperature="°F"), thermometer_k="3.6"))
    assert rules.current().thermometer_k == pytest.approx(2)


def test_a_shop_on_a_polder_lies_below_the_sea(client):
    change(client, shop_height_m="-3 m")
    assert rules.current().shop_height_m == -3


def test_of_two_who_save_the_second_learns_of_the_first(client):
    stale = typed(slack_percent="50")
    change(client, gauge_percent="2")
    page = words(client.post(reverse(PAGE), stale))
    assert "Somebody has changed the work rules since you opened it" in page
    assert rules.current().slack_percent == 40


def test_the_owner_is_told_when_nobody_else_could_look(client):
    assert "Only one person can log in" in words(client.get(reverse(PAGE)))


def test_only_the_owner_changes_how_the_bench_works(as_person, bench):
    assert as_person(bench).get(reverse(PAGE)).status_code == 403
    assert as_person(bench).post(reverse(PAGE), {}).status_code == 403


def test_the_office_leads_here(client):
    assert reverse(PAGE) in words(client.get(reverse("office")))

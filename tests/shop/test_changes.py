from decimal import Decimal

import pytest

from shoprepair.shop import changes, journal
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current, load_figures

pytestmark = pytest.mark.django_db


def test_a_changed_setting_answers_what_was_before(owner: Staff) -> None:
    found = changes.change_shop(who=owner, seen=0, currency="EUR", paper="A4")

    assert found == {"currency": ["USD", "EUR"]}
    assert current().currency == "EUR"
    assert journal.entries(current()).get().changes == found


def test_the_same_figure_written_with_other_digits_is_no_change(owner: Staff) -> None:
    assert changes.change_shop(who=owner, seen=0, test_pressure_factor=Decimal("1.0")) == {}


def test_settings_and_load_figures_are_versions_apart(owner: Staff) -> None:
    changes.change_load_figures(who=owner, seen=0, safety_factor=4.0)

    assert changes.newest(current()) == 0
    assert changes.newest(load_figures()) > 0


def test_whoever_saw_the_page_before_the_last_change_is_refused(owner: Staff) -> None:
    changes.change_load_figures(who=owner, seen=0, safety_factor=4.0)

    with pytest.raises(changes.ChangedMeanwhile, match="since you opened the page"):
        changes.change_load_figures(who=owner, seen=0, safety_factor=5.0)
    assert load_figures().safety_factor == 4.0

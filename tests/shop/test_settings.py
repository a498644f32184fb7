import pytest

from shoprepair.mechanics.description import DEFAULT_CASES
from shoprepair.shop import settings
from shoprepair.shop.models import LoadFigures, Shop

pytestmark = pytest.mark.django_db


def test_a_new_shop_has_its_settings_from_the_first_question() -> None:
    assert settings.current() == settings.current()
    assert Shop.objects.count() == 1


def test_a_new_shop_judges_by_the_stated_assumptions() -> None:
    assert settings.cases() == DEFAULT_CASES


def test_a_shop_judges_by_its_own_figures() -> None:
    figures = settings.load_figures()
    figures.held_wind_m_per_s = 15
    figures.save()
    assert settings.cases().held_wind_m_per_s == 15
    assert LoadFigures.objects.count() == 1

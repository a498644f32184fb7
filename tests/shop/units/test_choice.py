from shoprepair.shop.models import Shop, Staff
from shoprepair.shop.units import Units, units_for


def test_a_person_reads_the_shops_units_until_they_choose_their_own() -> None:
    shop = Shop(pressure_unit="kPa", length_unit="in", temperature_unit="°F")
    assert units_for(Staff(), shop) == Units("kPa", "in", "°F")
    assert units_for(Staff(pressure_unit="psi"), shop) == Units("psi", "in", "°F")


def test_who_is_not_logged_in_reads_the_shops_units() -> None:
    assert units_for(None, Shop()) == Units("bar", "mm", "°C")

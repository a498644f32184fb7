"""Which units a person reads: their own choice, else the shop's."""

from dataclasses import dataclass
from typing import Any

from shoprepair.shop.models import LengthUnit, PressureUnit, Shop, TemperatureUnit


@dataclass(frozen=True, slots=True)
class Units:
    """The units of one reader. Length "in" stands for inches and feet, "mm" for millimetres and metres."""

    pressure: str = PressureUnit.BAR.value
    length: str = LengthUnit.MM.value
    temperature: str = TemperatureUnit.CELSIUS.value

    @property
    def inches(self) -> bool:
        """Whether lengths are read in inches and feet."""
        return self.length == LengthUnit.INCH.value


def units_for(person: Any, shop: Shop) -> Units:
    """The units that `person` reads; of the shop for whoever has chosen none or is not logged in."""

    def chosen(name: str) -> str:
        return getattr(person, name, "") or getattr(shop, name)

    return Units(
        pressure=chosen("pressure_unit"),
        length=chosen("length_unit"),
        temperature=chosen("temperature_unit"),
    )

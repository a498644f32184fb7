"""What prices add to an archive: the catalogue is there from a shop's first day."""

from shoprepair.jobs import personal
from shoprepair.pricing.personal import PART
from shoprepair.shop.archive import registry


def keep() -> None:
    """Tell the archive, and whoever asks what is held about a customer."""
    personal.add(PART)
    catalogue = ("Material", "Operation", "OperationMaterial", "PriceRules")
    registry.begun_with(*(f"pricing.{name}" for name in catalogue))

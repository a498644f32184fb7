"""What the bench adds to an archive: the next invoice's number, and its rules of the first day."""

from shoprepair.jobs import personal
from shoprepair.shop.archive import registry
from shoprepair.work.personal import PART


def keep() -> None:
    """Tell the archive, and whoever asks what is held about a customer."""
    personal.add(PART)
    registry.NUMBERS["invoice"] = ("work.Invoice", "number")
    registry.begun_with("work.WorkRules", "work.NextFree")

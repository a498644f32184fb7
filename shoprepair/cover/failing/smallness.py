"""Small numbers say that they are small."""

from django.utils.translation import gettext

from shoprepair.shop.counted import counted
from shoprepair.shop.languages import gettext_lazy

FEW_REPAIRS = 30
FEW_EVENTS = 5
_NONE = {
    "claim": gettext_lazy("No claim yet, which is not the same as none to come."),
    "burst": gettext_lazy("No burst yet, which is not the same as none to come."),
    "repeat": gettext_lazy("No repeat yet, which is not the same as none to come."),
}


def is_small(whole: int, events: int) -> bool:
    """Whether an estimate rests on fewer than 30 cases or fewer than 5 events."""
    return whole < FEW_REPAIRS or events < FEW_EVENTS


def words(whole: int, events: int, *, of: str = "repair", event: str = "claim") -> str:
    """What a reader should know before leaning on an estimate; empty where it stands firm."""
    if whole == 0:
        return ""
    if whole < FEW_REPAIRS:
        return gettext(
            "Only %(whole)s: too few to tell one from another. Read this as a note, not as a rate."
        ) % {"whole": count(whole, of)}
    if events == 0:
        return str(_NONE[event])
    if events < FEW_EVENTS:
        return gettext("Only %(events)s: one more or one less would change the picture.") % {
            "events": count(events, event)
        }
    return ""


def count(number: int, of: str) -> str:
    """A number with its word: '1 repair', '12 repairs'."""
    return counted(number, of, f"{number:,}".replace(",", "\N{NO-BREAK SPACE}"))


def few(whole: int, of: str) -> str:
    """The same for a plain count."""
    return (
        gettext("Only %(whole)s: single marks, not yet a pattern.") % {"whole": count(whole, of)}
        if 0 < whole < FEW_REPAIRS
        else ""
    )

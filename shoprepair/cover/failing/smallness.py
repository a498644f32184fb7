"""Small numbers say that they are small."""

FEW_REPAIRS = 30
FEW_EVENTS = 5


def is_small(whole: int, events: int) -> bool:
    """Whether an estimate rests on fewer than 30 cases or fewer than 5 events."""
    return whole < FEW_REPAIRS or events < FEW_EVENTS


def words(whole: int, events: int, *, of: str = "repair", event: str = "claim") -> str:
    """What a reader should know before leaning on an estimate; empty where it stands firm."""
    if whole == 0:
        return ""
    if whole < FEW_REPAIRS:
        return (
            f"Only {count(whole, of)}: too few to tell one from another. Read this as a note, not as a rate."
        )
    if events == 0:
        return f"No {event} yet, which is not the same as none to come."
    if events < FEW_EVENTS:
        return f"Only {count(events, event)}: one more or one less would change the picture."
    return ""


def count(number: int, of: str) -> str:
    """A number with its word: '1 repair', '12 repairs'."""
    return f"{number:,} {of}{'' if number == 1 else 's'}".replace(",", "\N{NO-BREAK SPACE}")


def few(whole: int, of: str) -> str:
    """The same for a plain count."""
    return f"Only {count(whole, of)}: single marks, not yet a pattern." if 0 < whole < FEW_REPAIRS else ""

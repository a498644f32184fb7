"""Which lines of a quote can be taken together: one of each choice, the optional ones at will."""

from collections.abc import Collection, Iterable, Sequence

from django.utils.translation import gettext

from shoprepair.pricing.models import QuoteLine

MANY = 5
"""Of more choices each shows the line that is taken and folds its others: nobody reads so long a page."""


def groups(lines: Iterable[QuoteLine]) -> dict[str, list[QuoteLine]]:
    """The lines that exclude one another, by the word of their choice."""
    found: dict[str, list[QuoteLine]] = {}
    for line in lines:
        if line.choice:
            found.setdefault(line.choice, []).append(line)
    return found


def may_be_left_out(group: Sequence[QuoteLine]) -> bool:
    """Whether a choice may be left altogether: only where each of its lines is optional."""
    return all(line.optional for line in group)


def trouble(lines: Sequence[QuoteLine], taken: Collection[int]) -> str:
    """Why these lines cannot be taken together, as a sentence; empty where they can."""
    if set(taken) - {line.pk for line in lines}:
        return gettext("One of the lines chosen is not on this quote. Open the page again and choose anew.")
    for group in groups(lines).values():
        chosen = sum(line.pk in taken for line in group)
        if chosen > 1 or (not chosen and not may_be_left_out(group)):
            named = " or ".join(f"“{line.text}”" for line in group)
            return (
                gettext("Choose one of these: %(named)s.") % {"named": named}
                if len(group) > 1
                else gettext("%(named)s cannot be left out.") % {"named": named}
            )
    return ""


def settle(lines: Sequence[QuoteLine], chosen: QuoteLine | None = None) -> list[QuoteLine]:
    """Mark what is taken so that it can be taken together; answers the lines whose mark changed.

    What cannot be left out is taken. Of a choice the line just `chosen` stays, else the first taken, else
    the first.
    """
    before = {line.pk: line.taken for line in lines}
    for line in lines:
        line.taken = line.taken or not (line.optional or line.choice)
    for group in groups(lines).values():
        taken = [line for line in group if line.taken]
        if not taken and may_be_left_out(group):
            continue
        kept = next((line for line in taken if chosen and line.pk == chosen.pk), (taken or group)[0])
        for line in group:
            line.taken = line is kept
    return [line for line in lines if line.taken != before[line.pk]]

"""Changing a draft: its lines, and what is written over and under them."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from shoprepair.pricing.models import Quote, QuoteLine, Repair
from shoprepair.pricing.money import rounded, say
from shoprepair.pricing.quotes import checks, choosing, words
from shoprepair.pricing.quotes.steps import editing, written
from shoprepair.shop import journal
from shoprepair.shop.models import Staff

LINE = ("text", "detail", "amount", "cost", "minutes", "optional", "choice", "taken")
BELONGS_TO = ("repair_id", "operation_code", "damages")
ADDED = (*LINE, "repair_id", "operation_code", "damages")
"""What a new line may say further: what it stood for, where one is put back that was removed."""
QUOTE = ("discount_percent", "deposit_percent", "deposit_from", "valid_until", "note", "warranty")


class NoSuchLine(ValueError):
    """The line is not on this quote (any more)."""

    def __init__(self) -> None:
        super().__init__(gettext("That line is no longer on this quote. Look at the quote as it is now."))


def add_line(
    quote: Quote,
    *,
    who: Staff,
    version: int,
    text: str,
    amount: Decimal,
    kind: str = QuoteLine.Kind.EXTRA,
    **fields: Any,
) -> QuoteLine:
    """Write a further line under the others; `fields` as of `change_line`, and what a line that is put
    back belongs to: repair_id, operation_code, damages.

    Raises ValidationError with a sentence per field, NotADraft and Stale.
    """
    _known(fields, (*LINE, *BELONGS_TO))
    given = checks.line_fields({"text": text, "amount": amount, "kind": kind, **fields})
    with editing(quote, version) as draft:
        given["amount"] = rounded(given["amount"], draft.rounding)
        given["repair_id"] = _repair_of(draft, given.get("repair_id"))
        last = draft.lines.order_by("position").last()
        position = last.position + 1 if last else 1
        line = QuoteLine.objects.create(quote=draft, position=position, by_hand=True, **given)
        settle(draft, line)
        told = gettext("Added “%(text)s”, %(amount)s.") % {
            "text": line.text,
            "amount": say(line.amount, draft.currency),
        }
        written(draft, "quote.line-added", told, who=who)
    line.refresh_from_db()
    return line


def change_line(quote: Quote, line: QuoteLine, *, who: Staff, version: int, **fields: Any) -> QuoteLine:
    """Change a line's text, detail, amount, cost, minutes, optional, choice or taken.

    What a person changed is kept when the lines are reckoned anew; which of a choice is taken is no
    such change. Raises ValidationError with a sentence per field, NotADraft and Stale.
    """
    _known(fields, LINE)
    given = checks.line_fields(fields)
    with editing(quote, version) as draft:
        line = _line(draft, line)
        if "amount" in given:
            given["amount"] = rounded(given["amount"], draft.rounding)
        changes = journal.differences({name: getattr(line, name) for name in given}, given)
        if changes:
            name = line.text
            for field, (_, after) in changes.items():
                setattr(line, field, after)
            line.by_hand = line.by_hand or set(changes) != {"taken"}
            line.save()
            settle(draft, line if line.taken else None)
            told = gettext("Changed “%(name)s”: %(told)s.") % {
                "name": name,
                "told": words.told(changes, draft),
            }
            written(draft, "quote.line-changed", told, who=who, changes=changes)
    line.refresh_from_db()
    return line


def remove_line(quote: Quote, line: QuoteLine, *, who: Staff, version: int) -> None:
    """Take a line off. Raises NotADraft and Stale."""
    with editing(quote, version) as draft:
        line = _line(draft, line)
        told = gettext("Removed “%(text)s”, %(amount)s.") % {
            "text": line.text,
            "amount": say(line.amount, draft.currency),
        }
        line.delete()
        settle(draft)
        written(draft, "quote.line-removed", told, who=who)


def move_line(quote: Quote, line: QuoteLine, *, who: Staff, version: int, by: int) -> None:
    """Move a line up (`by` below nought) or down, as far as there are lines. Raises NotADraft and Stale."""
    with editing(quote, version) as draft:
        line = _line(draft, line)
        lines = list(draft.lines.all())
        before = [each.pk for each in lines].index(line.pk)
        after = min(max(before + by, 0), len(lines) - 1)
        if before != after:
            lines.insert(after, lines.pop(before))
            number(lines)
            told = gettext("Moved “%(text)s” from place %(value)s to %(value_2)s.") % {
                "text": line.text,
                "value": before + 1,
                "value_2": after + 1,
            }
            written(draft, "quote.line-moved", told, who=who)


def change(quote: Quote, *, who: Staff, version: int, **fields: Any) -> Quote:
    """Change discount, deposit, last day, note or warranty of a draft.

    Raises ValidationError with a sentence per field, NotADraft and Stale.
    """
    _known(fields, QUOTE)
    given = checks.quote_fields(fields)
    with editing(quote, version) as draft:
        changes = journal.differences({name: getattr(draft, name) for name in given}, given)
        if changes:
            told = gettext("Changed %(told)s.") % {"told": words.told(changes, draft)}
            values = {name: after for name, (_, after) in changes.items()}
            written(draft, "quote.changed", told, who=who, changes=changes, **values)
    return quote


def settle(draft: Quote, chosen: QuoteLine | None = None) -> None:
    """Keep the marks of what is taken such that it can be taken together."""
    for line in choosing.settle(list(draft.lines.all()), chosen):
        line.save(update_fields=["taken"])


def number(lines: list[QuoteLine]) -> None:
    """Count the lines of a draft from 1, in this order."""
    for position, line in enumerate(lines, 1):
        if line.position != position:
            line.position = position
            line.save(update_fields=["position"])


def _line(draft: Quote, line: QuoteLine) -> QuoteLine:
    found = draft.lines.filter(pk=line.pk).first()
    if found is None:
        raise NoSuchLine
    return found


def _repair_of(draft: Quote, pk: int | None) -> int | None:
    """The repair that a line stands for, where the job has it (still)."""
    there = pk is not None and Repair.objects.filter(pk=pk, damage__job=draft.job_id).exists()
    return pk if there else None


def _known(fields: dict[str, Any], names: tuple[str, ...]) -> None:
    if unknown := set(fields) - set(names):
        raise TypeError(f"Not to be changed here: {', '.join(sorted(unknown))}.")

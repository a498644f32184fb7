"""What is held about a customer, said as somebody would tell them: what, when, and what is known of it."""

import datetime
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from shoprepair.jobs.advice import verdicts
from shoprepair.jobs.advice.told_words import said_again
from shoprepair.jobs.models import Enquiry
from shoprepair.jobs.personal import Row, Section
from shoprepair.pricing.money import say
from shoprepair.shop.languages import gettext_lazy
from shoprepair.work.models import Payment
from shoprepair.work.models.hand_back import known_words

FOR_PROGRAMS = frozenset(
    ["contents", "digest", "previous", "subject", "load_ratio", "currency", "language", "advice", "tube_key"]
)
"""What stands in the JSON alone: the record behind a paper or a sentence that is told here."""
LONG = frozenset(["terms"])
"""What is the same text each time: it opens."""
SHORT, SHORT_WORD = 60, 18
"""Letters of a text, and of one of its words, that stand beside their label on a phone."""
MOST_LINES = 20
"""A text of more opens when asked."""
_RIGHT_TO_LEFT = frozenset(["R", "AL"])
_NOTHING: tuple[Any, ...] = (None, "", [], {})
_LABELS = {
    "name": gettext_lazy("Name"),
    "phone": gettext_lazy("Phone"),
    "email": gettext_lazy("E-mail"),
    "note": gettext_lazy("Note"),
    "erased_at": gettext_lazy("Erased"),
    "removed_at": gettext_lazy("Taken away again"),
    "colour": gettext_lazy("Colour"),
    "bought_year": gettext_lazy("Bought in"),
    "condition": gettext_lazy("Condition"),
    "new_price": gettext_lazy("Price when new"),
    "since": gettext_lazy("Owned since"),
    "until": gettext_lazy("Until"),
    "stage": gettext_lazy("Stage"),
    "hold_note": gettext_lazy("Why it waited"),
    "promised_on": gettext_lazy("Promised for"),
    "closed_at": gettext_lazy("Finished"),
    "came_with": gettext_lazy("Came with"),
    "arrived_wet": gettext_lazy("Came in wet"),
    "terms": gettext_lazy("Terms, as they read then"),
    "terms_agreed_at": gettext_lazy("Terms agreed to"),
    "told": gettext_lazy("What was told"),
    "charge": gettext_lazy("What it was said to cost"),
    "comes": gettext_lazy("How it comes"),
    "words": gettext_lazy("In words"),
    "came_at": gettext_lazy("Came in"),
    "forgotten_at": gettext_lazy("Forgotten"),
    "where": gettext_lazy("Where"),
    "urgency": gettext_lazy("Urgency, of 100"),
    "band": gettext_lazy("How pressing"),
    "text": gettext_lazy("Text"),
    "by": gettext_lazy("By"),
    "file": gettext_lazy("Beside this page as"),
    "caption": gettext_lazy("Caption"),
    "shared": gettext_lazy("Shown to the customer"),
    "withdrawn_at": gettext_lazy("Closed"),
    "to": gettext_lazy("To"),
    "state": gettext_lazy("State"),
    "body": gettext_lazy("Text"),
    "written_at": gettext_lazy("Written"),
    "changes": gettext_lazy("What changed"),
    "total": gettext_lazy("In all"),
    "valid_until": gettext_lazy("Valid until"),
    "answered_at": gettext_lazy("Answered"),
    "answered_name": gettext_lazy("Answered by"),
    "detail": gettext_lazy("In detail"),
    "amount": gettext_lazy("Amount"),
    "optional": gettext_lazy("Could be left out"),
    "taken": gettext_lazy("Agreed"),
    "reason": gettext_lazy("Why"),
    "verdict": gettext_lazy("Result"),
    "pressure_typed": gettext_lazy("Pressure"),
    "began_at": gettext_lazy("Begun"),
    "lines": gettext_lazy("What for"),
    "credits": gettext_lazy("Takes back invoice"),
    "method": gettext_lazy("Paid by"),
    "is_deposit": gettext_lazy("Deposit"),
    "taker_name": gettext_lazy("Given to"),
    "known_by": gettext_lazy("Known by"),
    "signature": gettext_lazy("Signature"),
    "typed_name": gettext_lazy("Signed by typing"),
    "on_paper": gettext_lazy("Signed on paper"),
    "open_points": gettext_lazy("Left open"),
    "due": gettext_lazy("Still to pay"),
    "taken_back_at": gettext_lazy("Taken back by us"),
    "ended": gettext_lazy("Ended"),
    "at": gettext_lazy("On"),
    "decision": gettext_lazy("Decision"),
    "decided_at": gettext_lazy("Decided"),
    "passed": gettext_lazy("Passed on"),
    "done_at": gettext_lazy("Done"),
    "ended_at": gettext_lazy("Ended"),
    "created_at": gettext_lazy("Known since"),
}
_WHEN = {
    "customer": "",
    "gear": "",
    "jobs": "received_at",
    "messages": "at",
    "letters": "sent_at",
    "journal": "at",
    "quotes": "sent_at",
    "enquiries": "sent_at",
    "damages": "created_at",
    "photos": "created_at",
    "status_links": "made_at",
    "work": "done_at",
    "hold_tests": "decided_at",
    "invoices": "made_at",
    "payments": "at",
    "hand_backs": "at",
    "covers": "given_at",
    "claims": "made_at",
    "transfers": "offered_at",
}
_NAMED_BY = {
    "gear": ("pattern", "serial"),
    "jobs": ("gear",),
    "damages": ("kind", "length_typed"),
    "messages": ("by",),
    "letters": ("subject",),
    "journal": ("text",),
    "quote_lines": ("text",),
    "work": ("text",),
    "covers": ("operation_name",),
    "transfers": ("gear",),
}
_NUMBERS: Mapping[str, Callable[[int], str]] = {
    "jobs": lambda number: _("Job %(number)s") % {"number": f"{number:04d}"},
    "damages": lambda number: _("damage %(number)s") % {"number": number},
    "quotes": lambda number: _("quote %(number)s") % {"number": number},
    "invoices": lambda number: _("invoice %(number)s") % {"number": number},
    "covers": lambda number: _("cover %(number)s") % {"number": f"{number:05d}"},
    "claims": lambda number: _("claim %(number)s") % {"number": f"{number:04d}"},
}


class Fact(NamedTuple):
    label: str
    text: str
    long: bool = False

    @property
    def is_wide(self) -> bool:
        """Whether it is more than stands beside its label on a phone."""
        longest_word = max(map(len, self.text.split()), default=0)
        return len(self.text) > SHORT or longest_word > SHORT_WORD or "\n" in self.text


class Said(NamedTuple):
    """One row: what it is, when it was, and what else is held of it."""

    head: str
    when: str
    facts: list[Fact]


def said(sections: Iterable[Section]) -> Iterator[tuple[Section, list[Said]]]:
    """Each section with its rows, empty fields left out; amounts in the currency of their job."""
    every = list(sections)
    paid_in = {row["job"]: row["currency"] for section in every for row in section.rows if "currency" in row}
    for section in every:
        yield section, [_row(section.name, row, paid_in) for row in section.rows]


def _row(section: str, row: Row, paid_in: Mapping[int, str]) -> Said:
    if row.get("subject", "").startswith("job:") and section == "journal":
        row = row | {"job": int(row["subject"].removeprefix("job:"))}
    if currency := paid_in.get(row.get("job", 0)):
        row = {"currency": currency} | row
    named, when = _NAMED_BY.get(section, ()), _WHEN.get(section, "at")
    gone = {"job", "number", "quote", "cover", when, *named}
    facts = [fact for name, value in row.items() if name not in gone for fact in _fact(name, value, row)]
    return Said(_head(section, row, named), _moment(row.get(when) or ""), facts)


def _head(section: str, row: Row, named: tuple[str, ...]) -> str:
    of = {"job": "jobs", "number": section, "quote": "quotes", "cover": "covers"}
    numbers = [_NUMBERS[of[name]](row[name]) for name in of if row.get(name) and of[name] in _NUMBERS]
    words = [_apart(str(row[name])) for name in named if row.get(name)]
    return ": ".join(filter(None, [", ".join(numbers), ", ".join(words)]))


def _apart(words: str) -> str:
    """Words from the right keep to themselves, so that the number behind them does not change sides."""
    if any(unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT for letter in words):
        return f"\N{FIRST STRONG ISOLATE}{words}\N{POP DIRECTIONAL ISOLATE}"
    return words


def _fact(name: str, value: Any, row: Row) -> Iterator[Fact]:
    if value in _NOTHING or value is False or name in FOR_PROGRAMS or not (text := _text(name, value, row)):
        return
    label = str(_LABELS[name]) if name in _LABELS else name.replace("_", " ").capitalize()
    yield Fact(label, text, name in LONG or len(text.splitlines()) > MOST_LINES)


def _text(name: str, value: Any, row: Row) -> str:
    """A value as somebody would say it."""
    if name == "signature":
        return _("drawn by hand")
    if isinstance(value, bool):
        return _("yes")
    if name == "lines":
        return _lines(value, row.get("currency", ""))
    if name in _SAYINGS:
        return _SAYINGS[name](value)
    if name in {"total", "amount", "due", "new_price"} and row.get("currency"):
        return say(Decimal(value), row["currency"])
    if isinstance(value, list):
        return ", ".join(str(each) for each in value)
    return _moment(value) if name.endswith(("_at", "_on", "at", "since", "until")) else str(value)


def _moment(text: Any) -> str:
    """A day, or a day and hour by the shop's clock; other words as they are."""
    try:
        if len(str(text)) == len("2026-11-25"):
            return date_format(datetime.date.fromisoformat(text), "j F Y")
        return date_format(timezone.localtime(datetime.datetime.fromisoformat(text)), "j F Y, H:i")
    except (TypeError, ValueError):
        return str(text)


def _pairs(changes: dict[str, Any]) -> str:
    def plain(value: Any) -> str:
        return _("nothing") if value in _NOTHING else _moment(value)

    return "\n".join(
        f"{_LABELS.get(name) or name.replace('_', ' ').capitalize()}: {plain(before)} → {plain(after)}"
        for name, (before, after) in changes.items()
        if name != "photo"
    )


def _told(told: list[dict[str, Any]]) -> str:
    return "\n".join(
        " ".join(filter(None, [said_again(one), _advised(one.get("verdict", ""))])) for one in told
    )


def _advised(verdict: str) -> str:
    try:
        return _("Advice: %(verdict)s.") % {"verdict": verdicts.by_code(verdict).title}
    except ValueError:
        return ""


def _lines(kept: dict[str, Any], currency: str) -> str:
    def amount(of: str) -> str:
        return say(Decimal(of), currency) if of and currency else of

    every = (line for part in kept.get("parts", []) for line in part.get("lines", []))
    return "\n".join(f"{line.get('text', '')}: {amount(line.get('amount', ''))}" for line in every)


def _charge(charge: dict[str, Any]) -> str:
    low, high = (say(Decimal(charge[end]), charge["currency"]) for end in ("low", "high"))
    return low if low == high else _("%(low)s to %(high)s") % {"low": low, "high": high}


_SAYINGS: Mapping[str, Callable[[Any], str]] = {
    "changes": _pairs,
    "told": _told,
    "charge": _charge,
    "known_by": known_words,
    "comes": lambda code: str(Enquiry.Comes(code).label),
    "method": lambda code: str(Payment.Method(code).label),
    "urgency": str,
}

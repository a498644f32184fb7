"""What the quote's page shows: its lines with what they add up to, what it is worth, and what comes next."""

import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import prefetch_related_objects
from django.http import HttpRequest, QueryDict
from django.utils.translation import gettext

from shoprepair.counter.ahead import ahead
from shoprepair.counter.contact import link_card
from shoprepair.counter.forms.quotes import ExtraForm, FromCatalogueForm, LineForm, PriceNewForm, TermsForm
from shoprepair.counter.keys import new_key
from shoprepair.counter.quote_added import addition, more_found
from shoprepair.jobs.models import Job
from shoprepair.pricing import quotes, rules, totals, worth
from shoprepair.pricing.models import Material, Operation, Quote, QuoteLine
from shoprepair.pricing.money import say
from shoprepair.pricing.quotes import choosing
from shoprepair.shop import journal

State = Quote.State
WIDEST_BAR = Decimal("1.5")
"""The bars end at one and a half times what the gear is worth, or where more than that ends."""
BAR_STEPS = 300
_SPENT = re.compile(r"(?:^|(?<=: ))(?:\d+ h(?: \d+ min)?|\d+(?:[.,]\d+)? min)(?:$|,| \w+) ?")
"""Bench time at the beginning of a line's detail, or after a colon, with the word after it."""
WITH = "with line "
"""Begins the answer that a line is to be an alternative to another one."""


class Row(NamedTuple):
    """A line as it is shown, with the amount that everybody sees."""

    line: QuoteLine
    amount: Decimal
    form: LineForm | None = None
    """There while the line is being edited."""

    @property
    def detail(self) -> str:
        """What the line says of itself; its bench time is left out where it has its own column beside it."""
        return _SPENT.sub("", self.line.detail, count=1) if self.line.minutes else self.line.detail


class Group(NamedTuple):
    """Lines that exclude one another, or one run of lines that stand each by itself."""

    is_choice: bool
    rows: tuple[Row, ...]

    @property
    def name(self) -> str:
        """What the answers to a choice are called in a form."""
        return f"one-{min(row.line.pk for row in self.rows)}"

    @property
    def first(self) -> Row:
        """Of a choice the line that is taken."""
        return next((row for row in self.rows if row.line.taken), self.rows[0])

    @property
    def others(self) -> tuple[Row, ...]:
        """What may be taken instead of it."""
        return tuple(row for row in self.rows if row is not self.first)


class WorthBar(NamedTuple):
    """The repair beside the present worth, as lengths of a bar."""

    total: int
    worth: int
    limit: int


def fetch_quote(job: Job, number: str = "") -> Quote | None:
    """The version asked for; else the draft, else the newest; None where there is none."""
    versions = quotes.versions(job)
    if number.isascii() and number.isdecimal() and len(number) < 5:
        return versions.filter(number=number).first()
    return quotes.open_draft(job) or versions.first()


def quote_page(
    job: Job,
    quote: Quote,
    request: HttpRequest,
    *,
    editing: LineForm | None = None,
    line_id: int | None = None,
    **more: Any,
) -> dict[str, Any]:
    """Everything that the quote page's template names; `more` are forms that were refused, and notices."""
    quote.job = job
    prefetch_related_objects([quote], "lines")
    sums = totals.of(quote)
    is_draft = quote.state == State.DRAFT
    versions, beside = list(quotes.versions(job)), addition(quote, sums.total)
    return {
        "job": job,
        "quote": quote,
        "is_draft": is_draft,
        "expired": quotes.expired(quote),
        "groups": list(_groups(sums, editing, line_id)),
        "line_open": next((each.line.text for each in sums.lines if each.line.pk == line_id), ""),  # type: ignore[attr-defined]
        "sums": sums,
        **beside,
        **_worth(quote, beside.get("together") or sums.total),
        "versions": versions,
        "more_found": more_found(job, versions),
        "history": list(journal.entries(quotes.subject(quote))[:12]),
        "own_key": new_key(),
        "add_key": new_key(),
        **(_forms(quote) if is_draft else {}),
        **link_card(job, request),
        **ahead(job),
        **more,
    }


def _worth(quote: Quote, total: Decimal) -> dict[str, Any]:
    """The repair beside what the gear is worth, or what is missing to say it."""
    price = rules.current()
    return {
        "share": worth.verdict(total, quote.worth, price),
        "bar": _bar(total, quote.worth, price.not_worth_percent),
        "worth_missing": "" if quote.worth else worth.missing(quote.job.inflatable),
        "usual_price": _usual_price(quote.job, quote.currency),
    }


def _forms(quote: Quote) -> dict[str, Any]:
    """The forms of a draft as they stand; a refused one takes their place."""
    since = say(quote.deposit_from, quote.currency)
    return {
        "deposit_hint": gettext("Only from %(since)s on.") % {"since": since} if quote.deposit_from else "",
        "terms": terms_form(quote),
        "extra": ExtraForm(currency=quote.currency, prefix="own"),
        "from_catalogue": FromCatalogueForm(currency=quote.currency, prefix="cat", items=catalogue_items()),
        "price_new": price_new_form(quote),
    }


def terms_form(quote: Quote, posted: Any = None) -> TermsForm:
    """What holds for the whole quote, as it stands or as it was typed."""
    names = ("valid_until", "discount_percent", "deposit_percent", "note", "warranty")
    initial = {name: plain(getattr(quote, name)) for name in names}
    return TermsForm(posted, currency=quote.currency, initial=initial)


def price_new_form(quote: Quote, posted: Any = None) -> PriceNewForm:
    """What this piece of gear cost new, as far as it is known."""
    gear = quote.job.inflatable
    initial = {"new_price": plain(gear.new_price), "bought_year": gear.bought_year}
    return PriceNewForm(posted, currency=quote.currency, prefix="new", initial=initial)


def line_form(draft: Quote, line: QuoteLine, posted: Any = None) -> LineForm:
    """One line, as it stands or as it was typed."""
    names = ("text", "detail", "amount", "minutes", "choice", "optional", "taken")
    return LineForm(
        posted,
        choices=list(_company(draft, line)),
        currency=draft.currency,
        initial={name: plain(getattr(line, name)) for name in names},
        prefix=f"line-{line.pk}",
    )


def _company(draft: Quote, line: QuoteLine) -> Iterator[tuple[str, str]]:
    """What a line can be an alternative to: each choice there is, and each other line that stands alone."""
    lines = list(draft.lines.all())
    for word, group in choosing.groups(lines).items():
        named = " or ".join(f"“{other.text}”" for other in group if other.pk != line.pk)
        yield (
            word,
            gettext("as a choice with %(named)s") % {"named": named}
            if named
            else gettext("as a choice of its own"),
        )
    for other in lines:
        if not other.choice and other.pk != line.pk:
            yield f"{WITH}{other.pk}", gettext("as a choice with “%(text)s”") % {"text": other.text}


def plain(value: Any) -> Any:
    """A figure as people write it: 30 for 30.00, 12.50 as it is."""
    if not isinstance(value, Decimal):
        return value
    return f"{value:f}" if value % 1 else f"{value:.0f}"


def catalogue_items() -> list[tuple[str, list[tuple[str, str]]]]:
    """What can be added from the catalogue: operations by area, then materials."""
    areas: dict[str, list[tuple[str, str]]] = {}
    for operation in Operation.objects.filter(active=True):
        areas.setdefault(operation.get_area_display(), []).append((f"do:{operation.code}", operation.name))
    materials = [
        (
            f"part:{material.code}",
            gettext("%(name)s, by the %(get_unit_display)s")
            % {"name": material.name, "get_unit_display": material.get_unit_display()},
        )
        for material in Material.objects.filter(active=True)
    ]
    return [*areas.items(), *([(gettext("Parts and materials"), materials)] if materials else [])]


def _groups(sums: totals.Totals, editing: LineForm | None, line_id: int | None) -> Iterator[Group]:
    """As its customer reads them, on paper and screen: what is done, each choice, what may be left out."""
    rows = [
        Row(shown.line, shown.amount, editing if shown.line.pk == line_id else None)  # type: ignore[arg-type, attr-defined]
        for shown in sums.lines
    ]
    alone = [row for row in rows if not row.line.choice]
    yield from _run(row for row in alone if not row.line.optional)
    for word in dict.fromkeys(row.line.choice for row in rows if row.line.choice):
        yield Group(True, tuple(row for row in rows if row.line.choice == word))
    yield from _run(row for row in alone if row.line.optional)


def _run(rows: Iterable[Row]) -> Iterator[Group]:
    """Lines that stand each by itself, where there are some."""
    if found := tuple(rows):
        yield Group(False, found)


def _usual_price(job: Job, currency: str) -> str:
    """What gear of this pattern costs new, as a hint for one that nobody priced; empty where not known."""
    usual = job.inflatable.pattern.new_price
    return (
        gettext("Empty: %(usual)s, as its pattern.") % {"usual": say(usual, currency)}
        if usual is not None
        else ""
    )


def _bar(total: Decimal, worth_now: Decimal | None, not_worth_percent: Decimal) -> WorthBar | None:
    if not worth_now:
        return None
    limit = worth_now * not_worth_percent / 100
    step = BAR_STEPS / max(worth_now * WIDEST_BAR, total, limit)
    return WorthBar(
        total=round(total * step),
        worth=round(worth_now * step),
        limit=round(limit * step),
    )


def reach_words(job: Job) -> list[str]:
    """How the quote reaches the customer, a sentence each."""
    customer = job.customer
    said = []
    if not customer.email:
        said.append(
            gettext(
                "No e-mail address is known, so nothing is sent. Once it is out, print the paper here, "
                "or let the customer scan the code of their page."
            )
        )
    if customer.email:
        said.append(
            gettext("An e-mail goes to %(email)s, with the address of the customer's page.")
            % {"email": customer.email}
        )
    if customer.phone:
        said.append(
            gettext("Call %(phone)s, or send the page's address as a message.") % {"phone": customer.phone}
        )
    return said


def answer_page(quote: Quote, taken: set[int] | None) -> dict[str, Any]:
    """The lines to read out, with what the customer takes so far and what that comes to."""
    prefetch_related_objects([quote], "lines")
    sums = totals.of(quote, taken)
    groups = list(_groups(sums, None, None))
    many = sum(group.is_choice for group in groups) > choosing.MANY
    return {"quote": quote, "groups": groups, "many": many, "sums": sums, **addition(quote, sums.total)}


def taken_from(posted: QueryDict, lines: Sequence[QuoteLine]) -> set[int]:
    """Ids of the lines that the customer takes, from the ticks and choices of a form."""
    chosen = {posted[name] for name in posted if name.startswith("one-")}
    ticked = chosen.union(posted.getlist("take"))
    return {line.pk for line in lines if str(line.pk) in ticked or not (line.optional or line.choice)}


def version_of(posted: QueryDict) -> int:
    """The version that the page showed; 0, which none has, where it does not say."""
    said = posted.get("version", "")
    return int(said) if said.isascii() and said.isdecimal() and len(said) < 10 else 0

"""What the page of an answer shows: each damage with its advice, the strictest first; charge and time."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from shoprepair.gear import diagram, everyday
from shoprepair.gear.planform import Planform
from shoprepair.jobs import advice as advising
from shoprepair.jobs.advice import Advice
from shoprepair.jobs.advice.rule import Rule
from shoprepair.jobs.advice.told import Told
from shoprepair.jobs.advice.verdicts import Verdict
from shoprepair.mechanics.description import Element
from shoprepair.portal import days
from shoprepair.portal.self_check import figures, steps
from shoprepair.portal.self_check.address import Address
from shoprepair.pricing import rough
from shoprepair.pricing.rough import Charge
from shoprepair.shop import settings
from shoprepair.shop.units import Units, say_length
from shoprepair.work import next_free

SLOTS = ("length", "runs_at")
ON_TUBES = frozenset({Element.LEADING_EDGE, Element.STRUT, Element.BRIDLE_POINT, Element.HANDLE})


class Shown(NamedTuple):
    """One rule as the template part `advice.html` writes it out, its figures in slots."""

    rule: Rule
    length: str = ""
    runs_at: str = ""

    @property
    def reason(self) -> SafeString:
        """Its reason, each figure in a span that a script can fill: `data-slot` names it."""
        filled = {
            name: format_html('<span data-slot="{}">{}</span>', name, getattr(self, name)) for name in SLOTS
        }
        return format_html(str(self.rule.reason), **filled)


class Piece(NamedTuple):
    """One damage: what was told, what is advised."""

    number: int
    told: Told
    what: str
    where: str
    advice: Advice
    shown: Shown
    charge: Charge | None
    ruler: SafeString | None

    @property
    def verdict(self) -> Verdict:
        return self.advice.verdict


class Answer(NamedTuple):
    """All that one page says."""

    pieces: tuple[Piece, ...]
    """The strictest first."""
    drawing: SafeString
    hatched: bool
    """Whether the drawing shows what the tubes carry."""
    charge: str
    what: tuple[str, ...]
    """What is done for the charge."""
    film: str
    """What it adds where somebody sticks a stretch film patch on; empty where none is spoken of."""
    ready: str

    @property
    def first(self) -> Piece:
        return self.pieces[0]

    @property
    def verdict(self) -> Verdict:
        """The strictest decides for the whole."""
        return self.first.verdict

    @property
    def drawing_of_verdict(self) -> str:
        """Template of the verdict's picture."""
        return f"portal/self_check/pictures/{self.verdict.code}.svg"


def answer(address: Address, units: Units) -> Answer:
    """What is advised for all that was told. Few statements, nothing written."""
    drawn = steps.planform(address.told)
    pieces = [_piece(number, told, units) for number, told in enumerate(address.all_told, 1)]
    charged = together([piece.charge for piece in pieces if piece.charge])
    hatched = any(piece.told.place(drawn)[0].element in ON_TUBES for piece in pieces)
    return Answer(
        pieces=tuple(sorted(pieces, key=lambda piece: (-piece.verdict, -piece.number))),
        drawing=_drawing(drawn, address.told.gear, pieces, hatched=hatched),
        hatched=hatched,
        charge=charged.said if charged else "",
        what=tuple(dict.fromkeys(part for piece in pieces if piece.charge for part in piece.charge.what)),
        film=_film(pieces),
        ready=_ready(),
    )


def _ready() -> str:
    """When it would be ready if it came in today; empty where that is not known."""
    dates = next_free.read()
    return days.span(dates.likely_on, dates.late_on) if dates else ""


def shown(advice: Advice, units: Units) -> Shown:
    """A rule with the figures of one advice."""
    return Shown(
        rule=advice.rule, length=_length(advice.length_m, units), runs_at=_length(advice.runs_at_m, units)
    )


def _piece(number: int, told: Told, units: Units) -> Piece:
    advice = advising.advise_told(told)
    return Piece(
        number=number,
        told=told,
        what=steps.said("look", told, units),
        where=steps.place_said(told),
        advice=advice,
        shown=shown(advice, units),
        charge=rough.charge(told),
        ruler=_ruler(advice),
    )


def _ruler(advice: Advice) -> SafeString | None:
    if advice.runs_at_m is None:
        return None
    return figures.ruler(advice.length_m, advice.runs_at_m, _("How long it is, beside where it rips on"))


def _drawing(drawn: Planform, gear: str, pieces: Sequence[Piece], *, hatched: bool) -> SafeString:
    load = diagram.load_map(drawn, everyday.description(gear), settings.cases()) if hatched else None
    return figures.where(drawn, [_pin(piece, drawn) for piece in pieces], load, _("Where it is"))


def _pin(piece: Piece, drawn: Planform) -> diagram.Pin:
    _place, x_m, y_m = piece.told.place(drawn)
    band = "Grounded" if piece.verdict is Verdict.BRING_IN else ""
    return diagram.Pin(number=piece.number, x_m=x_m, y_m=y_m, band=band, label=f"{piece.what}, {piece.where}")


def together(charges: Sequence[Charge]) -> Charge | None:
    """The range for all: one opening may serve several, so no less than the dearest and no more than all."""
    if not charges:
        return None
    high = sum((charge.high for charge in charges), Decimal(0))
    low = max(charge.low for charge in charges)
    return Charge(low=low, high=high, currency=charges[0].currency, what=())


def _film(pieces: Sequence[Piece]) -> str:
    extras = (rough.later_extra(piece.advice.rule.code) for piece in pieces)
    return next((extra.said for extra in extras if extra), "")


def _length(metres: float | None, units: Units) -> str:
    return "" if metres is None else say_length(metres, units)

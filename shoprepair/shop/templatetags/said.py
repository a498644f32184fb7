"""Figures and sentences in the reader's units, and the language that they are in. In every template."""

from typing import Any

from django import template
from django.contrib.messages.storage.base import Message
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language_bidi, gettext

from shoprepair.mechanics.description import Quantity, Sentence
from shoprepair.shop import isolated as apart
from shoprepair.shop import journal, languages, undoing
from shoprepair.shop import units as said
from shoprepair.shop.languages import active
from shoprepair.shop.models import JournalEntry, Letter, Shop
from shoprepair.shop.outbox import server, words
from shoprepair.shop.units import Units

register = template.Library()
NOT_SAID = "–"


@register.simple_tag
def spoken() -> SafeString:
    """For the `html` of every page and paper: its language, and its direction if from the right."""
    written = ' dir="rtl"' if get_language_bidi() else ""
    return mark_safe(f'lang="{active()}"{written}')  # noqa: S308 - a code of our own


@register.simple_tag
def undo_of(message: Message) -> undoing.Undo | None:
    """What takes back what a notice tells of, if anything does."""
    return undoing.read(message)


@register.filter
def in_words(kept: str) -> str:
    """A word that is kept in English, such as a band, in the reader's language."""
    return gettext(str(kept)) if kept else ""


@register.filter
def isolated(name: object) -> str:
    """A name within a sentence, parted from it where it is read from the right."""
    return apart.isolated(str(name))


@register.filter
def each_in_words(kept: list[str]) -> str:
    """Words that are kept in English, such as what usually comes along, and whatever else was written."""
    return ", ".join(in_words(each) for each in kept)


@register.filter
def in_a_sentence(words: str | None) -> str:
    """Words that stand alone elsewhere, such as a stage, as they are written within a sentence."""
    return languages.in_a_sentence(words) if words else ""


@register.filter
def as_length(metres: float | None, units: Units) -> str:
    """A length in metres as the reader measures it."""
    return NOT_SAID if metres is None else said.say_length(metres, units)


@register.filter
def as_pressure(pascal: float | None, units: Units) -> str:
    """A gauge pressure in pascal on the reader's gauge."""
    return NOT_SAID if pascal is None else said.say_pressure(pascal, units)


@register.filter
def as_line_load(n_per_m: float | None, units: Units) -> str:
    """A line load or strip strength in N/m."""
    return NOT_SAID if n_per_m is None else said.say_line_load(n_per_m, units)


@register.filter
def as_quantity(quantity: Quantity | dict[str, Any] | None, units: Units) -> str:
    """A quantity, or its stored form {"value": …, "unit": …}."""
    return NOT_SAID if quantity is None else said.say_quantity(said.quantity(quantity), units)


@register.filter
def as_sentence(sentence: Sentence | dict[str, Any] | str | None, units: Units) -> str:
    """A sentence, or its stored form {"text": …, "values": {…}}, with its figures written out."""
    return "" if sentence is None else said.say(said.sentence(sentence), units)


@register.filter
def as_term(text: str | None) -> str:
    """The name, the formula or the source of a figure, kept in English, in the reader's language."""
    return said.in_words(text or "")


@register.filter
def as_entry(entry: JournalEntry) -> str:
    """What an entry of the journal says, in the reader's language."""
    return journal.words(entry)


@register.filter
def as_letter_state(letter: Letter, shop: Shop) -> str:
    """Where a letter of the shop stands and why."""
    waits = letter.state == Letter.State.WAITING
    return words.say_state(letter, server.obstacle(shop) if waits else "")

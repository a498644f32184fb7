"""Fields that read a figure in the person's own units and keep what was typed."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shoprepair.counter.forms.typed import TypedField
from shoprepair.shop.units import Typed, Units, read_length, read_pressure

LONGEST_ENTRY = 80


class _Measured(TypedField[Typed]):
    """A figure in the reader's units."""

    units = Units()
    """Set by the form for its reader."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=LONGEST_ENTRY, **options)


class LengthField(_Measured):
    """A length; with `large`, a bare figure is in metres or feet. Cleans to a Typed, or None when empty."""

    def __init__(self, *, large: bool = False, **options: Any) -> None:
        self.large = large
        super().__init__(**options)

    def read(self, text: str) -> Typed:
        return read_length(text, self.units, large=self.large)


class PressureField(_Measured):
    """A gauge pressure. Cleans to a Typed, or None when empty."""

    def read(self, text: str) -> Typed:
        return read_pressure(text, self.units)


def in_units(form: forms.Form, units: Units) -> None:
    """Let every measured field of a form read in these units."""
    for field in form.fields.values():
        if isinstance(field, _Measured):
            field.units = units


def refuse_too(form: forms.Form, check: Callable[[Any], None], typed: Any) -> None:
    """Of what the form itself has nothing against, what a domain function has: all is said at once."""
    try:
        check(typed)
    except ValidationError as error:
        refuse(form, {name: said for name, said in error.message_dict.items() if name not in form.errors})


def refuse(form: forms.Form, problems: dict[str, list[str]], renamed: Callable[[str], str] = str) -> None:
    """Put the sentences of a domain function beside the fields they speak of."""
    for name, sentences in problems.items():
        for sentence in sentences:
            form.add_error(field if (field := renamed(name)) in form.fields else None, sentence)

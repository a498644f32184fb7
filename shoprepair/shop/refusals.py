"""What is said of a field that cannot be taken, in the shop's words: what is wrong and what to do.

A form says what it knows better by its own `error_messages`; for all else the framework has sentences of its
own, which speak of values and fields. They are replaced here once, for every form and record of the shop.
"""

from typing import Any

from django import forms
from django.core import validators
from django.core.exceptions import ValidationError
from django.db import models

from shoprepair.shop.languages import gettext_lazy

_MISSING = gettext_lazy("This is missing. Fill it in.")
_CHOOSE = gettext_lazy("Choose one of those shown.")
_CHOOSE_ANY = gettext_lazy("Choose among those shown.")
_NUMBER = gettext_lazy("Write a number.")
_WHOLE = gettext_lazy("Write a whole number, such as 3.")
_DAY = gettext_lazy("Write the date as 2026-05-31, or choose it.")
_TIME = gettext_lazy("Write the time like 09:00 or 17:30.")
_MOMENT = gettext_lazy("Write the day and the time, like 2026-05-31 09:00.")
_FILE = gettext_lazy("Nothing came with the form. Choose the file once more.")
_AT_MOST = gettext_lazy("This can be %(limit_value)s at most. Write a smaller figure.")
_AT_LEAST = gettext_lazy("This must be at least %(limit_value)s. Write a larger figure.")

OF_FIELDS: dict[type[forms.Field], dict[str, str]] = {
    forms.Field: {"required": _MISSING},
    forms.BooleanField: {"required": gettext_lazy("Tick this to go on.")},
    forms.IntegerField: {"invalid": _WHOLE},
    forms.FloatField: {"invalid": _NUMBER},
    forms.DecimalField: {"invalid": _NUMBER},
    forms.DateField: {"invalid": _DAY},
    forms.TimeField: {"invalid": _TIME},
    forms.DateTimeField: {"invalid": _MOMENT},
    forms.ChoiceField: {"invalid_choice": _CHOOSE},
    forms.MultipleChoiceField: {"invalid_choice": _CHOOSE_ANY, "invalid_list": _CHOOSE_ANY},
    forms.ModelChoiceField: {"invalid_choice": _CHOOSE},
    forms.FileField: {
        "invalid": _FILE,
        "missing": _FILE,
        "empty": gettext_lazy("There is nothing in this file. Choose another."),
        "max_length": gettext_lazy("The name of this file is too long. Shorten it and choose it once more."),
        "contradiction": gettext_lazy("Choose a file, or tick that none is to stay; not both."),
    },
}
"""By the kind of a form's field: what is said of it, by the reason."""

OF_RECORDS: dict[type["models.Field[Any, Any]"], dict[str, str]] = {
    models.Field: {
        "invalid_choice": _CHOOSE,
        "null": _MISSING,
        "blank": _MISSING,
        "unique": gettext_lazy("There is one like this already. Write another."),
    },
    models.IntegerField: {"invalid": _WHOLE},
    models.FloatField: {"invalid": _NUMBER},
    models.DecimalField: {"invalid": _NUMBER},
    models.DateField: {"invalid": _DAY, "invalid_date": _DAY},
}
"""The same of records, which are checked where no form was filled in."""

OF_CHECKS: dict[type[object], str] = {
    validators.MaxLengthValidator: gettext_lazy(
        "At most %(limit_value)d letters and signs fit here, and these are %(show_value)d. Shorten it."
    ),
    validators.MinLengthValidator: gettext_lazy(
        "These are %(show_value)d letters and signs, and at least %(limit_value)d are needed. Write more."
    ),
    validators.MaxValueValidator: _AT_MOST,
    validators.MinValueValidator: _AT_LEAST,
    validators.EmailValidator: gettext_lazy(
        "This is not a whole e-mail address. Write it like name@place.example."
    ),
    validators.ProhibitNullCharactersValidator: gettext_lazy(
        "There is a sign in this that cannot be kept. Type it once more."
    ),
}
"""By what a field is checked with."""

_DIGITS = gettext_lazy("This has too many figures. Write a shorter number.")
OF_DECIMALS = {
    "invalid": _NUMBER,
    "max_digits": _DIGITS,
    "max_decimal_places": _DIGITS,
    "max_whole_digits": _DIGITS,
}

OF_PASSWORDS = {
    "password_too_short": gettext_lazy(
        "This password is too short: it needs at least %(min_length)d characters."
    ),
    "password_too_common": gettext_lazy(
        "Many people use this password. Choose another, such as a few words."
    ),
    "password_entirely_numeric": gettext_lazy("Figures alone are guessed quickly. Put words into it."),
    "password_too_similar": gettext_lazy("That is too much like the name of this person. Choose another."),
}
"""By the code of what was found against a password."""


def of_password(fault: ValidationError) -> str:
    """One thing that was found against a password."""
    words = OF_PASSWORDS.get(fault.code or "")
    return words % (fault.params or {}) if words else " ".join(fault.messages)


def speak() -> None:
    """Let every form and record refuse in these words; called once, when the program starts."""
    for field, said in OF_FIELDS.items():
        field.default_error_messages = {**_own(field), **said}
    for kept, said in OF_RECORDS.items():
        kept.default_error_messages = {**_own(kept), **said}
    for check, words in OF_CHECKS.items():
        check.message = words  # type: ignore[attr-defined]
    validators.DecimalValidator.messages = OF_DECIMALS


def _own(field: type[object]) -> dict[str, str]:
    """What a kind of field says by itself, without what it has from those above it."""
    found: dict[str, str] = vars(field).get("default_error_messages", {})
    return found

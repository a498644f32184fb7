"""What cannot be taken is refused in the shop's own words, never in the framework's."""

import importlib
import pkgutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import django
import pytest
from babel.messages.pofile import read_po
from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import translation

import shoprepair
from shoprepair.shop import people, refusals
from shoprepair.shop.models import Shop, Staff

OF_THE_FRAMEWORK = Path(django.__file__).parent
CATALOGUES = ("conf", "contrib/auth")


@cache
def framework_words() -> frozenset[str]:
    """All that the framework says by itself, in English."""
    said: set[str] = set()
    for part in CATALOGUES:
        with (OF_THE_FRAMEWORK / part / "locale/en/LC_MESSAGES/django.po").open("rb") as file:
            for message in read_po(file):
                said.update(message.id if isinstance(message.id, tuple) else [message.id])
    return frozenset(said)


def every_form() -> Iterator[type[forms.BaseForm]]:
    for module in pkgutil.walk_packages(shoprepair.__path__, "shoprepair."):
        if ".migrations" not in module.name and ".management" not in module.name:
            importlib.import_module(module.name)
    found = [forms.BaseForm]
    for kind in found:
        found += [below for below in kind.__subclasses__() if below not in found]
    return (form for form in found if form.__module__.startswith("shoprepair."))


def sentences(field: forms.Field) -> Iterator[str]:
    """All that a field may say against what was typed."""
    yield from map(str, field.error_messages.values())
    for check in field.validators:
        yield from map(str, getattr(check, "messages", {}).values())
        if message := getattr(check, "message", ""):
            yield str(message)


def test_the_framework_s_words_are_known_to_this_test():
    assert {
        "This field is required.",
        "Enter a whole number.",
        "Enter a valid email address.",
        "Ensure this value is less than or equal to %(limit_value)s.",
        "This password is too common.",
    } <= framework_words()


def test_no_form_refuses_anything_in_the_framework_s_words():
    found = list(every_form())
    assert len(found) > 60
    kept = [
        f"{form.__qualname__}.{name}: {words}"
        for form in found
        for name, field in form.base_fields.items()
        for words in sentences(field)
        if words in framework_words()
    ]
    assert kept == []


@pytest.mark.parametrize("kind", [*refusals.OF_RECORDS, models.CharField, models.EmailField])
def test_no_record_is_refused_in_the_framework_s_words_by_what_people_write_into_it(kind):
    said = kind().error_messages
    for reason in {"blank", "null", "unique", "invalid", "invalid_choice"} & set(said):
        assert str(said[reason]) not in framework_words()


@pytest.mark.parametrize("language", ["de", "es"])
def test_each_is_said_in_the_reader_s_language(language):
    kinds = (*refusals.OF_FIELDS.values(), *refusals.OF_RECORDS.values())
    said = [words for kind in kinds for words in kind.values()]
    said += [*refusals.OF_CHECKS.values(), *refusals.OF_DECIMALS.values(), *refusals.OF_PASSWORDS.values()]
    with translation.override(language):
        assert [words[:] for words in said if str(words) == words[:]] == []


def test_what_is_too_long_is_told_how_long_it_may_be():
    with pytest.raises(ValidationError) as refused:
        forms.CharField(max_length=40).clean("x" * 200)
    assert refused.value.messages == ["At most 40 letters and signs fit here, and these are 200. Shorten it."]


def test_a_figure_beyond_its_bounds_is_told_the_bound():
    field = forms.IntegerField(min_value=1, max_value=9)
    for typed, told in (("0", "at least 1"), ("10", "9 at most")):
        with pytest.raises(ValidationError, match=told):
            field.clean(typed)


@pytest.mark.django_db
@pytest.mark.parametrize("password", ["short", "password1234", "194837261950", "Aiko Brandt Aiko"])
def test_a_password_is_refused_in_the_shop_s_words(password):
    Shop.objects.create(name="Northquay Loft")
    with pytest.raises(ValidationError) as refused:
        validate_password(password, Staff(username="aiko", first_name="Aiko Brandt Aiko"))
    theirs = {
        message
        for fault in refused.value.error_list
        if fault.code in refusals.OF_PASSWORDS
        for message in fault.messages
    }
    assert theirs
    assert theirs.isdisjoint(people.password_faults(password, name="Aiko Brandt Aiko", username="aiko"))

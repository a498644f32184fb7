"""Forms that make something: sent twice they make it once; what is wrong is said beside a field."""

from collections.abc import Callable

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest

from shoprepair.gear import changes
from shoprepair.pricing import catalogue_changes
from shoprepair.shop import people, submissions


class _Refused(ValueError):
    """The form carries what is wrong with it; its key stays free."""


def made(request: HttpRequest, form: forms.Form, make: Callable[[], str], *, name_field: str = "name") -> str:
    """Where the result of a sent form is to be seen; empty when the form cannot be taken as it is.

    The key is looked at before the fields: sent again, a name is taken by the very thing it made.
    """

    def carry_out() -> str:
        if not form.is_valid():
            raise _Refused
        try:
            return make()
        except (changes.NameTaken, people.NameTaken, catalogue_changes.NameTaken) as refused:
            form.add_error(name_field, str(refused))
            raise _Refused from refused
        except ValidationError as refused:
            form.add_error(None, refused)
            raise _Refused from refused

    try:
        return submissions.once(request.POST.get("key", ""), request.user, carry_out)
    except _Refused:
        return ""
    except ValueError as refused:
        form.is_valid()
        form.add_error(None, str(refused))
        return ""

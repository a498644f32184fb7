"""What people type to be let in, and to choose how they are."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.shop import own_password, pins, tablets
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.models import Staff

_FIGURES = {"inputmode": "numeric", "autocomplete": "off"}
_ONCE = {
    "inputmode": "numeric",
    "autocomplete": "one-time-code",
    "autocapitalize": "none",
    "spellcheck": "false",
}


class _Plain(forms.Form):
    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)


class CodeForm(_Plain):
    """The second step of a log-in."""

    code = forms.CharField(
        label=gettext_lazy("Code"),
        help_text=gettext_lazy(
            "The six figures that your phone shows now, or one of the codes you wrote down."
        ),
        max_length=40,
        widget=forms.TextInput(attrs=_ONCE | {"autofocus": True}),
        error_messages={"required": gettext_lazy("Write the code.")},
    )
    trust = forms.BooleanField(
        label=gettext_lazy("Ask for no code in this browser for 30 days"),
        required=False,
        widget=forms.CheckboxInput,
    )


class PinTryForm(_Plain):
    """The PIN of whoever takes the tablet over."""

    pin = forms.CharField(
        label="PIN",
        max_length=20,
        widget=forms.PasswordInput(attrs=_FIGURES | {"autofocus": True}),
        error_messages={"required": gettext_lazy("Tap your PIN.")},
    )


class WithOwnPassword(_Plain):
    """Whatever lets somebody in is changed by them alone, not by whoever finds their screen open."""

    password = forms.CharField(
        label=gettext_lazy("Your password"),
        strip=False,
        max_length=1000,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": gettext_lazy("Write your password, so that nobody else changes this.")},
    )

    def __init__(self, person: Staff, *args: Any, **kwargs: Any) -> None:
        self.person = person
        super().__init__(*args, **kwargs)

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        if wrong := own_password.fault(self.person, password):
            raise ValidationError(wrong)
        return password


class PinForm(WithOwnPassword):
    """A PIN of one's own."""

    pin = forms.CharField(
        label=gettext_lazy("New PIN"),
        help_text=filled(
            gettext_lazy("%(shortest)s to %(longest)s figures that nobody guesses."),
            shortest=pins.SHORTEST,
            longest=pins.LONGEST,
        ),
        max_length=20,
        widget=forms.PasswordInput(attrs=_FIGURES),
        error_messages={"required": gettext_lazy("Write the PIN you would like.")},
    )
    field_order = ("pin", "password")

    def clean_pin(self) -> str:
        pin: str = self.cleaned_data["pin"]
        if wrong := pins.fault(pin):
            raise ValidationError(wrong)
        return pin


class ConfirmForm(WithOwnPassword):
    """The first code of a phone shows that it makes the right ones."""

    code = forms.CharField(
        label=gettext_lazy("The six figures that it shows now"),
        max_length=40,
        widget=forms.TextInput(attrs=_ONCE),
        error_messages={"required": gettext_lazy("Write the six figures.")},
    )
    field_order = ("code", "password")


class TabletForm(_Plain):
    """What a shared tablet is called."""

    name = forms.CharField(
        label=gettext_lazy("Name of the tablet"),
        help_text=gettext_lazy("Where it lies, such as “Counter” or “Bench, left”."),
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Say what this tablet is called.")},
    )

    def clean_name(self) -> str:
        """Two of one name could not be told apart when one of them is lost."""
        name: str = self.cleaned_data["name"]
        if other := tablets.called(name):
            raise ValidationError(
                gettext(
                    "There is “%(name)s” already, since %(day)s. Give this one another name; or, if it is "
                    "the same tablet, strike the old one off first."
                )
                % {"name": other.name, "day": date_format(timezone.localdate(other.enrolled_at), "j M Y")}
            )
        return name

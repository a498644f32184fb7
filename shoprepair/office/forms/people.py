"""The people of the shop as the owner types them."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.shop import people
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.models import Language, Staff

DUTIES = {
    "counter": gettext_lazy("takes gear in, speaks with customers"),
    "bench": gettext_lazy("repairs, tests, takes photos"),
    "owner": gettext_lazy("everything, and alone the office"),
}
ROLES = [
    (role.value, filled("%(role)s: %(duty)s", role=role.label, duty=DUTIES[role.value]))
    for role in Staff.Role
]
USERNAME = re.compile(r"[\w.@+-]+\Z")


def _name(label: str = gettext_lazy("Name")) -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=gettext_lazy("As the journal and the papers will say it."),
        max_length=100,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Say who this is.")},
    )


def _username() -> forms.CharField:
    return forms.CharField(
        label=gettext_lazy("Log-in name"),
        help_text=gettext_lazy("Short, without spaces: letters, figures and any of .@+_-"),
        max_length=150,
        widget=forms.TextInput(
            attrs={"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}
        ),
        error_messages={"required": gettext_lazy("Write the name to log in with.")},
    )


def _password(label: str, hint: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        help_text=hint,
        strip=False,
        max_length=1000,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": gettext_lazy("Write a password.")},
    )


LENGTH_HINT = gettext_lazy(
    "At least 12 characters; a few words in a row are good. Not a name, not a password found everywhere."
)


class _WithPassword(forms.Form):
    """A form whose password is judged with the person's own names in mind."""

    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

    def names(self) -> dict[str, str]:
        return {key: self.cleaned_data.get(key, "") for key in ("name", "username", "shop_name")}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if password := cleaned.get("password"):
            for fault in people.password_faults(password, **self.names()):
                self.add_error("password", fault)
        return cleaned


class _WithUsername(_WithPassword):
    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if not USERNAME.match(username):
            raise ValidationError(
                gettext("A log-in name has only letters, figures and . @ + - _ in it, and no spaces.")
            )
        username = Staff.normalize_username(username)
        if people.is_taken(username):
            raise ValidationError(people.taken(username))
        return username


class AddForm(_WithUsername):
    """Somebody new."""

    name = _name()
    username = _username()
    role = forms.ChoiceField(
        label=gettext_lazy("Works as"),
        choices=ROLES,
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose what this person works as.")},
    )
    password = _password(gettext_lazy("Password"), LENGTH_HINT)
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)


class ChangeForm(forms.Form):
    """Somebody who is here already: name and role."""

    use_required_attribute = False

    name = _name()
    role = forms.ChoiceField(label=gettext_lazy("Works as"), choices=ROLES, widget=forms.RadioSelect)

    def __init__(self, person: Staff, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"name": str(person), "role": person.role})
        super().__init__(*args, label_suffix="", **kwargs)


class PasswordForm(_WithPassword):
    """A new password for somebody."""

    password = _password(gettext_lazy("New password"), LENGTH_HINT)

    def __init__(self, person: Staff, *args: Any, **kwargs: Any) -> None:
        self.person = person
        super().__init__(*args, **kwargs)

    def names(self) -> dict[str, str]:
        return {"name": str(self.person), "username": self.person.username}


class FirstRunForm(_WithUsername):
    """The shop's name and its first owner."""

    shop_name = forms.CharField(
        label=gettext_lazy("Name of the shop"),
        help_text=gettext_lazy("As it should stand on tags and papers. You can change it later."),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "organization"}),
        error_messages={"required": gettext_lazy("A shop needs a name: it stands on every paper.")},
    )
    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        help_text=gettext_lazy("Of the program, the papers and the letters. You can change it later."),
        choices=Language.choices,
        required=False,
        widget=forms.RadioSelect,
    )
    name = _name(gettext_lazy("Your name"))
    username = _username()
    password = _password(gettext_lazy("Password"), LENGTH_HINT)
    again = _password(
        gettext_lazy("The same password again"),
        gettext_lazy("So that a slip of the finger does not lock you out."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("password") and cleaned.get("again") and cleaned["password"] != cleaned["again"]:
            self.add_error("again", gettext("The two passwords differ. Write the same one twice."))
        elif self.errors and cleaned.get("password") and cleaned.get("again"):
            # A page never brings a password back: whoever corrects the rest must not overlook that.
            self.add_error(
                "password",
                gettext("It was fine, but no page sends a password back: write it again, in both fields."),
            )
        return cleaned

"""The first people of a shop, a row each; a row without a name is left out."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.office.forms.people import USERNAME
from shoprepair.shop import people, suggesting
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff

_PLAIN = {"autocapitalize": "none", "autocomplete": "off", "spellcheck": "false"}
FIRST = (Staff.Role.BENCH, Staff.Role.COUNTER, Staff.Role.BENCH)
"""What the rows propose: most shops have one at the table and one at the door."""


class MemberForm(forms.Form):
    """Somebody, what they work as, and a password that may be taken as it stands."""

    use_required_attribute = False

    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=100,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = forms.ChoiceField(label=gettext_lazy("Works as"), choices=Staff.Role.choices)
    username = forms.CharField(
        label=gettext_lazy("Log-in name"),
        max_length=150,
        required=False,
        widget=forms.TextInput(attrs=_PLAIN | {"placeholder": gettext_lazy("the first name")}),
    )
    password = forms.CharField(
        label=gettext_lazy("Password"),
        strip=False,
        max_length=1000,
        required=False,
        widget=forms.TextInput(attrs=_PLAIN),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if not self.cleaned_data.get("name"):
            return username
        if not username:
            return suggesting.username(self.cleaned_data["name"])
        if not USERNAME.match(username):
            raise ValidationError(
                gettext("A log-in name has only letters, figures and . @ + - _ in it, and no spaces.")
            )
        if people.is_taken(username):
            raise ValidationError(people.taken(username))
        return Staff.normalize_username(username)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        if said.get("name"):
            names = {"name": said["name"], "username": said.get("username", "")}
            for fault in people.password_faults(said.get("password", ""), **names):
                self.add_error("password", fault)
        return said


class CrewForm:
    """The rows as one form."""

    def __init__(self, shop_name: str, sent: Any = None) -> None:
        self.rows = [
            MemberForm(
                sent,
                prefix=f"p{number}",
                initial=None if sent else {"role": role, "password": suggesting.password(shop_name)},
            )
            for number, role in enumerate(FIRST, 1)
        ]
        self.errors = bool(sent is not None and [row for row in self.rows if row.errors])

    def is_valid(self) -> bool:
        """Whether every row can be taken, and no two of them log in by one name."""
        names: set[str] = set()
        for row in self.rows:
            if not row.is_valid() or not row.cleaned_data["name"]:
                continue
            username = row.cleaned_data["username"]
            if username.casefold() in names:
                row.add_error("username", people.taken(username))
            names.add(username.casefold())
        self.errors = any(row.errors for row in self.rows)
        return not self.errors

    def members(self) -> list[dict[str, str]]:
        """What `people.add` takes, of each row that has a name."""
        return [row.cleaned_data for row in self.rows if row.cleaned_data["name"]]

"""What the owner types on the pages of what leaves the shop."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.office.forms.people import LENGTH_HINT, _password
from shoprepair.shop import people
from shoprepair.shop.languages import filled, gettext_lazy


class ArchiveForm(forms.Form):
    """An archive, and the password that its owner logs in with afterwards."""

    use_required_attribute = False

    file = forms.FileField(
        label=gettext_lazy("The archive"),
        help_text=gettext_lazy(
            "A file such as shop-20261125-180000.zip. A very large one comes in quicker by "
            "manage.py import_shop."
        ),
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
        error_messages={
            "required": gettext_lazy("Choose the archive first."),
            "missing": gettext_lazy("Choose the archive first."),
            "invalid": gettext_lazy("The file did not arrive. Choose it again."),
        },
    )
    password = _password(
        gettext_lazy("Password for the owner in the archive"),
        filled(
            gettext_lazy("No archive holds passwords, so the owner gets this one. %(length_hint)s"),
            length_hint=LENGTH_HINT,
        ),
    )
    again = _password(
        gettext_lazy("The same password again"),
        gettext_lazy("So that a slip of the finger does not lock you out."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if password := cleaned.get("password"):
            for fault in people.password_faults(password, name="", username=""):
                self.add_error("password", fault)
            if cleaned.get("again") and cleaned["again"] != password:
                self.add_error("again", gettext("The two passwords differ. Write the same one twice."))
        return cleaned


class EraseForm(forms.Form):
    """The customer's name, typed by whoever means it."""

    use_required_attribute = False

    name = forms.CharField(
        label=gettext_lazy("Type the customer's name"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        error_messages={"required": gettext_lazy("Type the name, so that nobody is erased by a slip.")},
    )
    photos = forms.BooleanField(
        label=gettext_lazy("Take the photos of their gear away too"),
        help_text=gettext_lazy(
            "They show gear and no person, and covers refer to them. Only if the customer asks."
        ),
        required=False,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

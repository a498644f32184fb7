"""What stays when the demo goes, and the password of whoever takes it away or brings it back."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.office.demo import known
from shoprepair.office.forms.log_in import WithOwnPassword
from shoprepair.office.forms.people import LENGTH_HINT
from shoprepair.shop import people
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class RemoveForm(WithOwnPassword):
    """What is kept beside the settings, and a password of one's own in place of one that the demo prints."""

    keep_patterns = forms.BooleanField(
        label=gettext_lazy("Keep the patterns as they are corrected here"), required=False, initial=True
    )
    keep_catalogue = forms.BooleanField(
        label=gettext_lazy("Keep the catalogue, the materials and the price rules"),
        required=False,
        initial=True,
    )
    keep_people = forms.BooleanField(
        label=gettext_lazy("Keep the other people with their log-ins"),
        help_text=gettext_lazy("Who still has the demo’s password is shut out until you give a new one."),
        required=False,
    )
    new_password = forms.CharField(
        label=gettext_lazy("Your new password"),
        help_text=LENGTH_HINT,
        strip=False,
        max_length=1000,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": gettext_lazy("Write a password of your own.")},
    )
    field_order = ("keep_patterns", "keep_catalogue", "keep_people", "password", "new_password")

    def __init__(self, person: Staff, *args: Any, **kwargs: Any) -> None:
        super().__init__(person, *args, **kwargs)
        if not known.opens(person):
            del self.fields["new_password"]

    def clean_new_password(self) -> str:
        password: str = self.cleaned_data["new_password"]
        if known.is_known(password):
            raise ValidationError(
                gettext("The demo prints this one for everybody to read. Write one of your own.")
            )
        if faults := people.password_faults(password, name=str(self.person), username=self.person.username):
            raise ValidationError(faults)
        return password


class BackForm(WithOwnPassword):
    """Nothing but the password."""

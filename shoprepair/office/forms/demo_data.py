"""What stays when the demo goes, and the password of whoever takes it away or brings it back."""

from django import forms

from shoprepair.office.forms.log_in import WithOwnPassword
from shoprepair.shop.languages import gettext_lazy


class RemoveForm(WithOwnPassword):
    """What is kept beside the settings."""

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
        help_text=gettext_lazy("The demo’s passwords are known to everybody: give new ones at once."),
        required=False,
    )
    field_order = ("keep_patterns", "keep_catalogue", "keep_people", "password")


class BackForm(WithOwnPassword):
    """Nothing but the password."""

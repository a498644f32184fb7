"""A form that nobody sends: one field of each kind, to be looked at."""

from django import forms
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy


class SampleForm(forms.Form):
    """Bound to nothing it is as it comes; bound to `wrong()` each field says what is wrong with it."""

    use_required_attribute = False

    name = forms.CharField(
        label=gettext_lazy("Name"), error_messages={"required": gettext_lazy("Write the customer's name.")}
    )
    serial = forms.CharField(
        label=gettext_lazy("Serial"),
        help_text=gettext_lazy("As it is printed near the valve."),
        max_length=8,
        error_messages={"max_length": gettext_lazy("A serial has at most 8 letters and figures here.")},
    )
    pressure = forms.DecimalField(
        label=gettext_lazy("Pressure"),
        help_text=gettext_lazy("With its unit, such as 0.5 bar."),
        widget=forms.TextInput,
        error_messages={"invalid": gettext_lazy("Write a pressure with its unit, such as 0.5 bar.")},
    )
    comes = forms.ChoiceField(
        label=gettext_lazy("How it comes"),
        choices=[("hand", gettext_lazy("By hand")), ("post", gettext_lazy("By post"))],
        error_messages={"invalid_choice": gettext_lazy("Choose how the gear comes.")},
    )
    promised = forms.DateField(
        label=gettext_lazy("Promised for"),
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"required": gettext_lazy("Say by when it is to be ready.")},
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": gettext_lazy("Say what was seen.")},
    )
    photo = forms.FileField(
        label=gettext_lazy("Photo"),
        required=False,
        help_text=gettext_lazy("A picture of the place, up to 20 MB."),
    )


def wrong() -> SampleForm:
    """The form as it comes back when all of it was sent wrong."""
    sent = {
        "wrong-serial": "NQ-20417-B",
        "wrong-pressure": gettext("seven parsecs"),
        "wrong-comes": "balloon",
    }
    return SampleForm(sent, prefix="wrong", label_suffix="")

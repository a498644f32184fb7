"""A form that nobody sends: one field of each kind, to be looked at."""

from django import forms


class SampleForm(forms.Form):
    """Bound to nothing it is as it comes; bound to `wrong()` each field says what is wrong with it."""

    use_required_attribute = False

    name = forms.CharField(label="Name", error_messages={"required": "Write the customer's name."})
    serial = forms.CharField(
        label="Serial",
        help_text="As it is printed near the valve.",
        max_length=8,
        error_messages={"max_length": "A serial has at most 8 letters and figures here."},
    )
    pressure = forms.DecimalField(
        label="Pressure",
        help_text="With its unit, such as 0.5 bar.",
        widget=forms.TextInput,
        error_messages={"invalid": "Write a pressure with its unit, such as 0.5 bar."},
    )
    comes = forms.ChoiceField(
        label="How it comes",
        choices=[("hand", "By hand"), ("post", "By post")],
        error_messages={"invalid_choice": "Choose how the gear comes."},
    )
    promised = forms.DateField(
        label="Promised for",
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"required": "Say by when it is to be ready."},
    )
    note = forms.CharField(
        label="Note",
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say what was seen."},
    )
    photo = forms.FileField(label="Photo", required=False, help_text="A picture of the place, up to 20 MB.")


def wrong() -> SampleForm:
    """The form as it comes back when all of it was sent wrong."""
    sent = {"wrong-serial": "NQ-20417-B", "wrong-pressure": "seven parsecs", "wrong-comes": "balloon"}
    return SampleForm(sent, prefix="wrong", label_suffix="")

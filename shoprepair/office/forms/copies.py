from django import forms


class CopyForm(forms.Form):
    """A pattern under a new name."""

    use_required_attribute = False

    name = forms.CharField(
        label="Name of the copy",
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": "Give the copy a name."},
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

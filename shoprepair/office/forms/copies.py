from django import forms

from shoprepair.shop.languages import gettext_lazy


class CopyForm(forms.Form):
    """A pattern under a new name."""

    use_required_attribute = False

    name = forms.CharField(
        label=gettext_lazy("Name of the copy"),
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": gettext_lazy("Give the copy a name.")},
    )
    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, label_suffix="", **kwargs)

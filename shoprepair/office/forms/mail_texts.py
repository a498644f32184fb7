"""The wording of a letter as the owner types it."""

from collections.abc import Mapping
from typing import Any

from django import forms

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.outbox import texts
from shoprepair.shop.outbox.texts import LONGEST_BODY, LONGEST_SUBJECT, TextRefused

TOO_LONG = gettext_lazy("At most %(limit_value)d characters; this has %(show_value)d.")


class MailTextForm(forms.Form):
    """Subject and body of one letter."""

    use_required_attribute = False

    subject = forms.CharField(
        label=gettext_lazy("Subject"),
        max_length=LONGEST_SUBJECT,
        widget=forms.TextInput(attrs={"dir": "auto"}),
        error_messages={"required": gettext_lazy("A letter needs a subject."), "max_length": TOO_LONG},
    )
    body = forms.CharField(
        label=gettext_lazy("Text of the letter"),
        max_length=LONGEST_BODY,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 18, "dir": "auto"}),
        error_messages={"required": gettext_lazy("Write the letter."), "max_length": TOO_LONG},
    )
    version = forms.IntegerField(min_value=0, widget=forms.HiddenInput)

    def __init__(self, text: texts.Text, samples: Mapping[str, str], *args: Any, **kwargs: Any) -> None:
        now = texts.wording(text.code)
        kwargs["initial"] = {"subject": now.subject, "body": now.body, "version": now.version}
        super().__init__(*args, label_suffix="", **kwargs)
        self.text = text
        self.samples = samples
        self.now = now

    def clean(self) -> dict[str, Any]:
        for field in ("subject", "body"):
            if field in self.cleaned_data:
                try:
                    texts.check_one(self.text.code, field, self.cleaned_data[field])
                except TextRefused as refused:
                    self.add_error(field, str(refused))
        return self.cleaned_data

    def preview(self) -> tuple[str, str] | None:
        """Subject and body filled with sample values; None while either cannot be taken."""
        said = self.cleaned_data if self.is_bound else self.initial
        if self.is_bound and (self.errors.get("subject") or self.errors.get("body")):
            return None
        return texts.preview(self.text.code, said["subject"], said["body"], self.samples)

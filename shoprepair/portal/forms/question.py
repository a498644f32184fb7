"""A customer's question, as it is typed."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.jobs import conversation


class QuestionForm(forms.Form):
    """Who asks, and what. What may not be kept is refused by the conversation itself."""

    name = forms.CharField(required=False, strip=False)
    text = forms.CharField(required=False, strip=False)

    def clean_name(self) -> str:
        return _said(conversation.clean_name, self.cleaned_data["name"])

    def clean_text(self) -> str:
        return _said(
            conversation.clean_text, self.cleaned_data["text"], gettext("Write your question first.")
        )


def _said(clean: Any, *typed: str) -> str:
    try:
        return str(clean(*typed))
    except conversation.NotSaid as refusal:
        raise forms.ValidationError(str(refusal)) from None

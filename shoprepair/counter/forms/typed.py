"""A field that reads what was typed, whatever it reads; its sentence about a wrong one stands beside it."""

from typing import Generic, TypeVar

from django import forms

Read = TypeVar("Read")


class TypedField(forms.CharField, Generic[Read]):
    """Cleans to what `read` makes of the words, or to None when there are none."""

    def read(self, text: str) -> Read:
        """What these words say; raises ValueError with a sentence."""
        raise NotImplementedError

    def clean(self, value: object) -> Read | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return self.read(text)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

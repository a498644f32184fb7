"""In which units a person reads and types, and in which language."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Language, LengthUnit, PressureUnit, Shop, Staff, TemperatureUnit


class UnitsForm(forms.Form):
    """One choice a quantity; empty: as the shop has it."""

    pressure_unit = forms.ChoiceField(
        label=gettext_lazy("Pressure"), required=False, widget=forms.RadioSelect
    )
    length_unit = forms.ChoiceField(label=gettext_lazy("Length"), required=False, widget=forms.RadioSelect)
    temperature_unit = forms.ChoiceField(
        label=gettext_lazy("Temperature"), required=False, widget=forms.RadioSelect
    )

    language = forms.ChoiceField(label=gettext_lazy("Language"), required=False, widget=forms.RadioSelect)

    def __init__(self, *args: Any, person: Staff, shop: Shop, **options: Any) -> None:
        super().__init__(*args, **options)
        kinds = (PressureUnit, LengthUnit, TemperatureUnit, Language)
        for (name, field), kind in zip(self.fields.items(), kinds, strict=True):
            field.choices = [
                ("", gettext("As the shop: %(label)s") % {"label": kind(getattr(shop, name)).label}),
                *kind.choices,
            ]
            field.initial = getattr(person, name)

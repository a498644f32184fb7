"""Fields for places along a tube, written as percent: stretches such as 0–12 %, points such as 20 %."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

STRETCH = re.compile(r"(\d+(?:\.\d+)?)\s*%?\s*(?:-|–|to)\s*(\d+(?:\.\d+)?)\s*%?\Z")
POINT = re.compile(r"(\d+(?:\.\d+)?)\s*%?\Z")
MOST = 12


class StretchesField(forms.CharField):
    """Stretches of a tube as [from, to] shares; kept as stored where nothing was typed."""

    def __init__(self, stored: list[list[float]], **kwargs: Any) -> None:
        self.stored = stored
        initial = ", ".join(f"{low * 100:g}–{high * 100:g} %" for low, high in stored)
        super().__init__(required=False, initial=initial, widget=_plain_input(), **kwargs)

    def clean(self, value: Any) -> list[list[float]]:
        text = super().clean(value)
        if text == self.initial:
            return self.stored
        return [_stretch(part) for part in _parts(text)]


class PointsField(forms.CharField):
    """Places on a half tube as shares, from the centre outwards; kept as stored where nothing was typed."""

    def __init__(self, stored: list[float], **kwargs: Any) -> None:
        self.stored = stored
        initial = ", ".join(f"{share * 100:g} %" for share in stored)
        super().__init__(initial=initial, widget=_plain_input(), **kwargs)

    def clean(self, value: Any) -> list[float]:
        text = super().clean(value)
        if text == self.initial:
            return self.stored
        points = [_point(part) for part in _parts(text)]
        if points != sorted(set(points)):
            raise ValidationError(
                gettext("Write each place once, from the centre outwards: 20 %, 43 %, 67 %.")
            )
        return points


def _plain_input() -> forms.TextInput:
    return forms.TextInput(attrs={"autocomplete": "off"})


def _parts(text: str) -> list[str]:
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    if len(parts) > MOST:
        raise ValidationError(gettext("Write at most %(MOST)s of them.") % {"MOST": MOST})
    return parts


def _stretch(text: str) -> list[float]:
    match = STRETCH.match(text)
    low, high = (_share(figure) for figure in match.groups()) if match else (1.0, 0.0)
    if not 0 <= low < high <= 1:
        raise ValidationError(
            gettext(
                "“%(text)s” is no stretch of a tube; write from–to in percent of its length, such as 0–12 %%."
            )
            % {"text": text[:20]}
        )
    return [low, high]


def _point(text: str) -> float:
    match = POINT.match(text)
    share = _share(match[1]) if match else 2.0
    if not 0 <= share <= 1:
        raise ValidationError(
            gettext("“%(text)s” is no place on the half span; write percent from the centre: 20 %%.")
            % {"text": text[:20]}
        )
    return share


def _share(percent: str) -> float:
    return round(float(percent) / 100, 6)

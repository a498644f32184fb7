"""The fields that prices are made of."""

from decimal import Decimal
from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

NOUGHT = Decimal("0.00")


def money(**options: Any) -> "models.DecimalField[Any, Any]":
    """An amount of the shop's currency, from nought."""
    return models.DecimalField(
        max_digits=10, decimal_places=2, validators=[MinValueValidator(NOUGHT)], **options
    )


def minutes(**options: Any) -> "models.DecimalField[Any, Any]":
    """Bench time in minutes, from nought, to a tenth."""
    options.setdefault("default", Decimal(0))
    return models.DecimalField(
        max_digits=7, decimal_places=1, validators=[MinValueValidator(Decimal(0))], **options
    )


def percent(**options: Any) -> "models.DecimalField[Any, Any]":
    """A share from 0 to 100 percent."""
    limits = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))]
    return models.DecimalField(max_digits=5, decimal_places=2, validators=limits, **options)

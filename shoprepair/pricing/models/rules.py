from decimal import Decimal

from django.db import models
from django.utils.translation import gettext

from shoprepair.pricing.models.fields import minutes, money, percent
from shoprepair.shop.languages import gettext_lazy


class PriceRules(models.Model):
    """How the shop makes a price: one row, the owner's to change. A change touches no quote already out."""

    class Rounding(models.TextChoices):
        CENT = "0.01", gettext_lazy("to the cent")
        FIVE_CENTS = "0.05", gettext_lazy("to five cents")
        TEN_CENTS = "0.10", gettext_lazy("to ten cents")
        UNIT = "1.00", gettext_lazy("to the whole unit")

    hourly_rate = money(default=Decimal("72.00"))
    hour_cost_percent = percent(
        default=Decimal("100.00"),
        help_text=gettext_lazy("Of the hourly rate, what an hour at the bench costs the shop."),
    )
    tax_name = models.CharField(max_length=40, default="Tax")
    tax_percent = percent(default=Decimal("8.00"))
    rounding = models.CharField(max_length=4, choices=Rounding, default=Rounding.CENT)
    minimum_charge = money(default=Decimal("25.00"))
    deposit_percent = percent(default=Decimal("30.00"))
    deposit_from = money(default=Decimal("150.00"), help_text=gettext_lazy("Smaller totals need no deposit."))
    valid_days = models.PositiveSmallIntegerField(default=14)
    opening_fixed_minutes = minutes(default=Decimal(18))
    opening_minutes_per_m = minutes(default=Decimal(40))
    opening_reach_m = models.FloatField(default=0.35)
    opening_least_m = models.FloatField(default=0.15)
    yearly_loss_percent = percent(
        default=Decimal("22.00"), help_text=gettext_lazy("Worth that gear loses in a year.")
    )
    least_worth_percent = percent(
        default=Decimal("10.00"), help_text=gettext_lazy("Worth that sound old gear keeps.")
    )
    not_worth_percent = percent(
        default=Decimal("60.00"),
        help_text=gettext_lazy("From this share of the present worth: not worth repairing."),
    )
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return gettext("Price rules")

    @property
    def hour_cost(self) -> Decimal:
        """What an hour at the bench costs the shop itself: wages, room and machines."""
        cost: Decimal = self.hourly_rate * self.hour_cost_percent / 100
        return cost

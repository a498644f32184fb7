from django.db import models

from shoprepair.gear.models import Inflatable
from shoprepair.shop.languages import gettext_lazy


class Customer(models.Model):
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    note = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)
    erased_at = models.DateTimeField(
        null=True, blank=True, help_text=gettext_lazy("When everything that named them was erased.")
    )

    def __str__(self) -> str:
        return self.name


class SearchWord(models.Model):
    """One folded word by which a customer, a piece of gear or a job is found while typing."""

    word = models.CharField(max_length=120)
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="search_words")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["customer", "word"], name="one_row_per_word_of_a_customer")
        ]
        indexes = [
            # The search while typing; the pattern operators let PostgreSQL seek by a word's beginning.
            models.Index(
                fields=["word", "customer"],
                name="search_by_beginning",
                opclasses=["varchar_pattern_ops", "int8_ops"],
            )
        ]

    def __str__(self) -> str:
        return self.word


class Ownership(models.Model):
    """Whose an inflatable is, and was."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="ownerships")
    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="ownerships")
    since = models.DateTimeField(auto_now_add=True)
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["inflatable"], condition=models.Q(until=None), name="one_owner_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.customer}: {self.inflatable}"

from shoprepair.pricing.models.catalogue import Material, MeasuredMinutes, Operation, OperationMaterial
from shoprepair.pricing.models.quote import Quote, QuoteLine
from shoprepair.pricing.models.repair import Repair
from shoprepair.pricing.models.rules import PriceRules

__all__ = [
    "Material",
    "MeasuredMinutes",
    "Operation",
    "OperationMaterial",
    "PriceRules",
    "Quote",
    "QuoteLine",
    "Repair",
]

"""How the inside of a tube is reached: its openings, what they share, and a drawing of them."""

from shoprepair.pricing.access.drawing import drawing
from shoprepair.pricing.access.plan import Opening, Plan, alone, numbered, openings, plan

__all__ = ["Opening", "Plan", "alone", "drawing", "numbered", "openings", "plan"]

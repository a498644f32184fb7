from shoprepair.cover.models.claim import Claim
from shoprepair.cover.models.cover import Cover, CoverLink, Ending
from shoprepair.cover.models.transfer import Transfer

__all__ = ["Claim", "Cover", "CoverLink", "Ending", "Transfer"]

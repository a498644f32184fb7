"""Words that several rules of the advice share."""

from django.utils.translation import gettext_lazy as _

AIR = _("A tube under pressure can burst with a bang. Keep your face away from it.")
SHORE = _(
    "If it fails far out, you can drown. Stay so near that you can swim back. "
    "Never go out in wind that blows away from the land."
)
HOUSE = _(
    "This answer comes from what you told us. We have not seen your gear. "
    "Look at it yourself. Keep to the maker’s limits and the local rules. "
    "If you are not sure, let a trained person check it."
)
ON_WATER = (SHORE, HOUSE)
ON_BOTH = (AIR, SHORE, HOUSE)

PACK = _("Let out the air. Roll it up loosely, and do not fold it across the damage.")
NO_TAPE = _("Do not tape it and pump it up. Tape for the cloth never holds on a tube.")
DO_NOT_PUMP = _("Do not pump it up again, not even to show someone.")

SEWN_TWICE = _("We sew on one patch inside and one outside, each with two rows of stitches.")
THE_WAY_IN = _(
    "Most of the price is the way in. We open a seam, pull out the bladder (the air bag inside) "
    "and close it all again."
)
BEFORE_IT_BURSTS = _(
    "Come now and it stays a small repair. If the tube bursts, it costs several times as much. "
    "Most often the bladder is lost too."
)
FILM_COSTS = _(
    "A stretch film patch costs more later. It does not peel off again. "
    "We must cut it out and put in a whole new piece of cloth."
)

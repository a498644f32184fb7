"""Scrapes, opened seams and bursts of a tube, and stitching where load is sewn on."""

from django.utils.translation import gettext_lazy as _

from shoprepair.jobs.advice.common_words import (
    BEFORE_IT_BURSTS,
    DO_NOT_PUMP,
    HOUSE,
    NO_TAPE,
    ON_BOTH,
    PACK,
    SEWN_TWICE,
    THE_WAY_IN,
)
from shoprepair.jobs.advice.rule import Rule
from shoprepair.jobs.advice.verdicts import Verdict

_FOLD_AGAIN = _("Do the fold test again now and then. If it folds to a sharp edge, bring it in.")
_SCRAPE_LATER = (
    SEWN_TWICE,
    BEFORE_IT_BURSTS,
)

RULES_OF_TUBES = (
    Rule(
        code="scrape-round",
        verdict=Verdict.RIDE_ON,
        reason=_("The cloth stays round when you fold it along the scrape. So its threads are still whole."),
        later=(_("There is nothing to pay now. Tell us about it when the gear next comes in."),),
        checks=(
            _("Look at the scrape before and after each ride."),
            _FOLD_AGAIN,
            _("Do not drag it over sand or stones."),
        ),
        cautions=ON_BOTH,
    ),
    Rule(
        code="scrape-pulled-hard",
        verdict=Verdict.BRING_IN,
        reason=_(
            "Its threads look whole, but the cloth is pulled so hard here that we want to see it first."
        ),
        meanwhile=(PACK,),
        later=_SCRAPE_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="scrape-edge",
        verdict=Verdict.BRING_IN,
        reason=_("It folds to a sharp edge. That means about half of the cloth is gone."),
        meanwhile=(PACK, NO_TAPE),
        later=_SCRAPE_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="scrape-not-folded",
        verdict=Verdict.BRING_IN,
        reason=_("You have not tried the fold test, so we take the worse: half of the cloth may be gone."),
        meanwhile=(_("Let out the air, fold the cloth along the scrape and ask again."),),
        later=_SCRAPE_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="tube-seam-open",
        verdict=Verdict.BRING_IN,
        reason=_(
            "The seam holds the tube shut. Where it opens, the bladder (the air bag inside) can burst out."
        ),
        meanwhile=(PACK, NO_TAPE),
        later=(
            _("We sew the seam again. If we can reach it from outside, that is one of our smaller jobs."),
            BEFORE_IT_BURSTS,
        ),
        cautions=(HOUSE,),
    ),
    Rule(
        code="burst",
        verdict=Verdict.BRING_IN,
        reason=_("The tube has burst. It holds nothing any more, and no patch from outside can change that."),
        meanwhile=(
            DO_NOT_PUMP,
            PACK,
            _("Send the bladder (the air bag inside) along too, even if it is torn."),
        ),
        later=(
            _("We build the burst part anew. It costs several times as much as a small cut."),
            THE_WAY_IN,
            _("The same spot on the other side is often the next to go. We look at it too and tell you."),
        ),
        cautions=(HOUSE,),
    ),
    Rule(
        code="stitching-open",
        verdict=Verdict.BRING_IN,
        reason=_(
            "All your pull goes through this stitching. Once some of it has gone, the rest can go at once."
        ),
        meanwhile=(_("Do not ride with it, not even close to the beach."), PACK),
        later=(_("We sew it anew. That costs little as long as the cloth under it is whole."),),
        cautions=(HOUSE,),
    ),
)

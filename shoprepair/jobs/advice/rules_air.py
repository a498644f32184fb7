"""Air that leaves, and valves and hoses that sit loose."""

from django.utils.translation import gettext_lazy as _

from shoprepair.jobs.advice.common_words import HOUSE, ON_BOTH, PACK, SHORE
from shoprepair.jobs.advice.rule import Fix, Rule, Step
from shoprepair.jobs.advice.verdicts import Verdict

_WAIT = _("Pump it up, wait half an hour, then press it with your thumb. If it is softer, stay on land.")
_OFTEN_SAND = _("Often it is only sand in a valve. Rinse every valve with fresh water and let it dry.")
_TELL_US = _("Tell us which tube goes soft first. It saves us the search, and you the money for it.")
_NO_GLUE = _("Glue. It does not come off again, and then the whole bladder needs a new valve.")

VALVE = Fix(
    steps=(
        Step(_("Let out the air. Rinse the valve with fresh water until no sand is left.")),
        Step(_("Turn the valve until it sits straight. Press it back into its seat, all the way round.")),
        Step(_("Close it and put the cap on. It should close by hand, without a tool.")),
    ),
    use=(_("Fresh water and your hands."),),
    never=(_NO_GLUE, _("Pliers, or anything sharp near the bladder (the air bag inside).")),
)
HOSE = Fix(
    steps=(
        Step(_("Let out the air. Rinse off sand and salt.")),
        Step(_("Push the hose onto its stub as far as it goes. It must not be kinked.")),
        Step(_("Pull the clamp or strap tight again.")),
    ),
    use=(_("Fresh water and your hands."), _("A new strap of the same width, if the old one is worn.")),
    never=(
        _("Glue. Then the hose does not come off for the next repair."),
        _("Wire. It cuts into the hose."),
    ),
)

RULES_OF_AIR = (
    Rule(
        code="soft-in-a-day",
        verdict=Verdict.RIDE_ON,
        reason=_("It takes many hours to go soft. So it stays hard for as long as you ride."),
        later=(_("A small leak is a small repair. It can wait for the end of the season."), _TELL_US),
        checks=(
            _OFTEN_SAND,
            _("Press each valve into its seat and close it well."),
            _WAIT,
            _("Stay close to shore. If it goes soft faster than before, bring it in."),
        ),
        cautions=(SHORE, HOUSE),
    ),
    Rule(
        code="soft-too-fast",
        verdict=Verdict.BRING_IN,
        reason=_("It can go soft while you ride, and out there you cannot pump it up again."),
        meanwhile=(_OFTEN_SAND, PACK),
        later=(_("A valve or a small hole costs little. A new bladder costs more."), _TELL_US),
        cautions=(HOUSE,),
    ),
    Rule(
        code="soft-not-timed",
        verdict=Verdict.BRING_IN,
        reason=_("You are not sure how fast it goes soft, so we take it as fast."),
        meanwhile=(
            _OFTEN_SAND,
            _("On land, and only there, you may pump it up and look again after an hour. Then ask again."),
            PACK,
        ),
        later=(_("A valve or a small hole costs little. A new bladder costs more."), _TELL_US),
        cautions=(HOUSE,),
    ),
    Rule(
        code="valve-loose-holds",
        verdict=Verdict.FIX_YOURSELF,
        reason=_("It is loose, but it holds air for a day. You can press it back into its seat."),
        fix=VALVE,
        later=(_("A valve that comes loose again needs a new seat. That is a small repair."),),
        checks=(_WAIT, _("Stay close to shore on the first ride.")),
        cautions=ON_BOTH,
    ),
    Rule(
        code="hose-loose-holds",
        verdict=Verdict.FIX_YOURSELF,
        reason=_("It is loose, but it holds air for a day. You can push it back on."),
        fix=HOSE,
        later=(_("A hose that comes loose again needs a new clamp. That is a small repair."),),
        checks=(_WAIT, _("Stay close to shore on the first ride.")),
        cautions=ON_BOTH,
    ),
    Rule(
        code="loose-and-leaking",
        verdict=Verdict.BRING_IN,
        reason=_("It is loose and may let the air out while you ride. Then you cannot get back."),
        meanwhile=(_("Do not glue it. Glue does not come off again and makes the repair dearer."), PACK),
        later=(_("A new valve or hose is a small repair. A torn bladder costs more."), _TELL_US),
        cautions=(HOUSE,),
    ),
)

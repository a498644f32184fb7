"""The cloth between the tubes, and the clear windows in it."""

from django.utils.translation import gettext_lazy as _

from shoprepair.jobs.advice.common_words import FILM_COSTS, HOUSE, ON_WATER
from shoprepair.jobs.advice.rule import Fix, Rule, Step
from shoprepair.jobs.advice.verdicts import Verdict

_DRY = Step(_("Rinse off salt and sand. Let the cloth dry all the way."), "dry")
_WIPE = Step(_("Wipe both sides with alcohol, a hand wide all round. Let it dry."), "wipe")
_FLAT = Step(_("Lay it on something flat, with no fold. Put torn edges side by side."), "flat")
_CUT = Step(
    _(
        "Cut two pieces of tape. They must reach three fingers past the damage on "
        "all sides. Round the corners."
    ),
    "patch",
)
_STICK = Step(_("Stick one piece on each side of the cloth."), "tape-both")
_PRESS = Step(_("Rub both down hard, from the middle outwards."), "press")
_TRY = Step(
    _(
        "Try to lift a corner with your nail. If it comes up, the cloth is slick: "
        "take polyester adhesive cloth."
    ),
    "lift",
)

_TAPE = _("Ripstop tape: thin woven tape with glue on its back.")
_FOR_SLICK = _("Polyester adhesive cloth where the cloth is coated and slick.")
_FILM_LAST = _("A stretch film patch, only if nothing else sticks. It costs you more later.")
_NO_OTHER = _("Tape from home or the tool shop. It lets go in water and leaves its glue behind.")
_ONE_SIDE = _("Tape on one side only. It peels off.")

ON_BOTH_SIDES = Fix(
    steps=(_DRY, _FLAT, _WIPE, _CUT, _STICK, _PRESS, _TRY),
    use=(_TAPE, _FOR_SLICK, _("Alcohol and a clean rag."), _FILM_LAST),
    never=(_ONE_SIDE, _NO_OTHER, _("A ride before it is taped. One gust can tear it on.")),
)
ON_A_WINDOW = Fix(
    steps=(
        Step(_("Wash the window with water and a drop of soap. Let it dry all the way."), "dry"),
        Step(_("Lay it on something flat and push the crack shut."), "flat"),
        _CUT,
        Step(_("Stick one piece on each side of the window."), "tape-both"),
        _PRESS,
    ),
    use=(_("Ripstop tape, or clear tape made for sails."), _("Water, soap and a soft rag.")),
    never=(_("Thinner or petrol. They turn the window cloudy."), _ONE_SIDE, _NO_OTHER),
)
_MAY_STAY = (_("If the tape lies flat and sticks, it may stay. There is nothing more to pay."), FILM_COSTS)
_COMES_OFF = (
    _("We take the tape off and sew in new cloth. Tape that peels off cleanly adds little to the price."),
    FILM_COSTS,
)
_LOOK_AGAIN = _("Look at the tape before and after each ride. If an edge lifts, bring it in.")
_ONLY_HOME = _("Use it for the way home only, in light wind. Then bring it in.")
_ROLL = _("Roll it up loosely. Do not let the torn edges flap or rub.")
_SEWN_IN = _("We sew in new cloth. We need not open a tube for that, so it costs far less than a cut in one.")

RULES_OF_CLOTH = (
    Rule(
        code="tear-tape",
        verdict=Verdict.FIX_YOURSELF,
        reason=_(
            "The cloth between the tubes carries far less than a tube. Tape on both "
            "sides holds a tear this short."
        ),
        fix=ON_BOTH_SIDES,
        later=_MAY_STAY,
        checks=(_LOOK_AGAIN, _("Keep it in the shade until you go. Heat softens the glue.")),
        cautions=ON_WATER,
    ),
    Rule(
        code="tear-get-home",
        verdict=Verdict.GET_HOME,
        reason=_("Tape on both sides holds a tear up to a hand long for the way home, but not for good."),
        fix=ON_BOTH_SIDES,
        later=_COMES_OFF,
        checks=(_ONLY_HOME, _("Stop as soon as an edge of the tape lifts.")),
        cautions=ON_WATER,
    ),
    Rule(
        code="tear-too-long",
        verdict=Verdict.BRING_IN,
        reason=_("A tear longer than a hand does not lie flat under tape. A gust can rip it right across."),
        meanwhile=(_ROLL, _("Do not cover it with stretch film. It makes the repair dearer.")),
        later=(_SEWN_IN,),
        cautions=(HOUSE,),
    ),
    Rule(
        code="tear-not-measured",
        verdict=Verdict.BRING_IN,
        reason=_("You are not sure how long it is, so we take it as too long for tape."),
        meanwhile=(_("Hold it against your hand or a ruler and ask again."), _ROLL),
        later=(_SEWN_IN,),
        cautions=(HOUSE,),
    ),
    Rule(
        code="tape-would-creep",
        verdict=Verdict.BRING_IN,
        reason=_(
            "On gear of this size the wind pulls so hard here that tape creeps off, even on both sides."
        ),
        meanwhile=(_ROLL,),
        later=(_SEWN_IN,),
        cautions=(HOUSE,),
        source="Volkersen 1938 for the lap; a fifth of it lasts: common practice, no source",
    ),
    Rule(
        code="cloth-seam-get-home",
        verdict=Verdict.GET_HOME,
        reason=_(
            "Tape on both sides keeps a short gap in a seam shut for the way home. Only "
            "thread holds it for good."
        ),
        fix=ON_BOTH_SIDES,
        later=(
            _("We take the tape off and sew the seam again. It is one of our smaller jobs."),
            FILM_COSTS,
        ),
        checks=(_ONLY_HOME, _("Stop as soon as an edge of the tape lifts.")),
        cautions=ON_WATER,
    ),
    Rule(
        code="cloth-seam-too-long",
        verdict=Verdict.BRING_IN,
        reason=_("A seam that is open for more than a hand runs on like a zip."),
        meanwhile=(_ROLL,),
        later=(_("We sew the seam again. It is one of our smaller jobs."),),
        cautions=(HOUSE,),
    ),
    Rule(
        code="cloth-scrape-round",
        verdict=Verdict.RIDE_ON,
        reason=_("The cloth stays round when you fold it along the scrape. So its threads are still whole."),
        later=(_("There is nothing to pay now. Tell us about it when the gear next comes in."),),
        checks=(
            _("Look at the scrape before and after each ride."),
            _("Do not drag it over sand or stones."),
        ),
        cautions=ON_WATER,
    ),
    Rule(
        code="cloth-scrape-edge",
        verdict=Verdict.FIX_YOURSELF,
        reason=_("The cloth may be half worn through. Tape on both sides keeps it from tearing there."),
        fix=ON_BOTH_SIDES,
        later=_MAY_STAY,
        checks=(_LOOK_AGAIN,),
        cautions=ON_WATER,
    ),
)

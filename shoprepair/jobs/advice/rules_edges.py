"""The back edge of the cloth, which shakes all the time, and the clear windows."""

from django.utils.translation import gettext_lazy as _

from shoprepair.jobs.advice.common_words import FILM_COSTS, HOUSE, ON_WATER
from shoprepair.jobs.advice.rule import Rule
from shoprepair.jobs.advice.rules_cloth import ON_A_WINDOW, ON_BOTH_SIDES
from shoprepair.jobs.advice.verdicts import Verdict

_ONLY_HOME = _("Use it for the way home only, in light wind. Then bring it in.")
_ROLL = _("Roll it up loosely. Do not let the torn edges flap or rub.")
_NEW_EDGE = _("We sew on new cloth and a new edge. We need not open a tube for that.")
_NEW_WINDOW = _("We sew in a new window. We need not open a tube for that.")

RULES_OF_EDGES = (
    Rule(
        code="back-edge-get-home",
        verdict=Verdict.GET_HOME,
        reason=_("The back edge shakes all the time. Tape holds there for the way home, but not for good."),
        fix=ON_BOTH_SIDES,
        later=(_NEW_EDGE, FILM_COSTS),
        checks=(_ONLY_HOME, _("Stop as soon as the tear comes out from under the tape.")),
        cautions=ON_WATER,
    ),
    Rule(
        code="back-edge-bring-in",
        verdict=Verdict.BRING_IN,
        reason=_(
            "The back edge shakes all the time. Longer than a palm, a tear there works "
            "its way out from under tape."
        ),
        meanwhile=(_ROLL,),
        later=(_NEW_EDGE,),
        cautions=(HOUSE,),
    ),
    Rule(
        code="back-edge-seam",
        verdict=Verdict.BRING_IN,
        reason=_("The back edge shakes all the time. An open seam there runs on, and tape does not stop it."),
        meanwhile=(_ROLL,),
        later=(_("We sew the edge again. It is one of our smaller jobs."),),
        cautions=(HOUSE,),
    ),
    Rule(
        code="window-cloudy",
        verdict=Verdict.RIDE_ON,
        reason=_("A cloudy window is old, but it is not torn. You only see less through it."),
        later=(_("We can sew in a new window when it bothers you."),),
        checks=(
            _("Bend it gently. If it cracks, ask again."),
            _("Look well around you before you turn. Others may be behind that window."),
        ),
        cautions=ON_WATER,
    ),
    Rule(
        code="window-crack-tape",
        verdict=Verdict.FIX_YOURSELF,
        reason=_("A crack no longer than a coin is stopped by tape on both sides."),
        fix=ON_A_WINDOW,
        later=(_("If the tape sticks, it may stay until the window cracks again."), _NEW_WINDOW),
        checks=(_("Look at the crack before and after each ride. If it grows past the tape, bring it in."),),
        cautions=ON_WATER,
    ),
    Rule(
        code="window-crack-get-home",
        verdict=Verdict.GET_HOME,
        reason=_(
            "A crack in a window grows fast. Tape on both sides holds it for the way home, but not for good."
        ),
        fix=ON_A_WINDOW,
        later=(_NEW_WINDOW,),
        checks=(_ONLY_HOME,),
        cautions=ON_WATER,
    ),
    Rule(
        code="window-crack-too-long",
        verdict=Verdict.BRING_IN,
        reason=_("A crack longer than a hand can open the whole window in one gust."),
        meanwhile=(_ROLL,),
        later=(_NEW_WINDOW,),
        cautions=(HOUSE,),
    ),
)

"""Cuts and holes in a tube: the one that may be closed far from a shop, and all that may not."""

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
from shoprepair.jobs.advice.rule import Fix, Rule, Step
from shoprepair.jobs.advice.verdicts import Verdict

FAR_FROM_A_SHOP = Fix(
    steps=(
        Step(_("Let out all the air. Rinse off salt and sand with fresh water.")),
        Step(
            _("Dry the cloth until it is bone dry, inside and out. Glue does not stick to damp cloth."), "dry"
        ),
        Step(_("Wipe the cloth round the cut with alcohol, inside and out. Let it dry."), "wipe"),
        Step(
            _("Cut two patches of polyester adhesive cloth, as large as will fit. Round off the corners."),
            "patch",
        ),
        Step(
            _(
                "Push the bladder (the air bag inside) out of the way. Roll up one patch, slide it in "
                "through the cut and stick it to the inside of the cloth. It must not stick to the bladder."
            )
        ),
        Step(_("Stick the other patch on the outside, with the cut in its middle."), "tape-both"),
        Step(_("Press and rub both hard for five minutes. Keep them warm with your hand."), "press"),
        Step(
            _("Pull at an edge. If it lifts, take it off and start again. If it lifts again, do not use it."),
            "lift",
        ),
    ),
    use=(
        _("Polyester adhesive cloth: strong woven cloth with glue on its back."),
        _("Alcohol and a clean rag."),
    ),
    never=(
        _("Ripstop tape or any other tape for the cloth. It is far too weak for a tube."),
        _("A patch on one side only."),
        _("A patch where a line, a valve or a strut is fixed to the tube. Only plain cloth will do."),
        _("Glue or thread from home. They make the real repair harder."),
    ),
)
_UNTIL_THEN = (PACK, NO_TAPE)
_LATER = (SEWN_TWICE, THE_WAY_IN, BEFORE_IT_BURSTS)

RULES_OF_CUTS = (
    Rule(
        code="cut-far-from-a-shop",
        verdict=Verdict.GET_HOME,
        reason=_(
            "Near the tip the tube carries least. A cut here rips on by itself from about {runs_at}. "
            "Yours is no longer than {length}, so a good patch can get you home."
        ),
        fix=FAR_FROM_A_SHOP,
        later=(
            _("We take both patches off and clean off the glue. That adds a little to the price."),
            SEWN_TWICE,
            THE_WAY_IN,
            BEFORE_IT_BURSTS,
        ),
        checks=(
            _("Pump it up softer than usual, just hard enough to fly."),
            _(
                "Wait a quarter of an hour. If the patch slips or the cut grows, let the "
                "air out and stay on land."
            ),
            _("Feel along the patch for air. If it hisses, the bladder has a hole too: then do not go."),
            _("Use it for the way home only, in light wind. Then bring it in."),
        ),
        cautions=ON_BOTH,
    ),
    Rule(
        code="cut-not-near-the-tip",
        verdict=Verdict.BRING_IN,
        reason=_(
            "Only near the tip may a cut in the front tube be fixed outside a shop. "
            "Here the tube carries too much. A cut can rip on by itself from about {runs_at}."
        ),
        meanwhile=_UNTIL_THEN,
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-not-measured",
        verdict=Verdict.BRING_IN,
        reason=_(
            "You are not sure how long it is, so we take it as too long. "
            "Here a cut can rip on by itself from about {runs_at}."
        ),
        meanwhile=(_("Hold it against a coin or a ruler and ask again."), *_UNTIL_THEN),
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-too-long",
        verdict=Verdict.BRING_IN,
        reason=_(
            "A cut longer than a coin is work for a shop, wherever it is on a tube. "
            "Here a cut can rip on by itself from about {runs_at}."
        ),
        meanwhile=_UNTIL_THEN,
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-would-run",
        verdict=Verdict.BRING_IN,
        reason=_(
            "In this tube a cut can rip on by itself from about {runs_at}. "
            "Yours may be {length} long, so air alone could burst it."
        ),
        meanwhile=(
            DO_NOT_PUMP,
            *_UNTIL_THEN,
            _("Far from any shop? Measure it with a ruler, tap the exact spot on the drawing and ask again."),
        ),
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-where-it-bends",
        verdict=Verdict.BRING_IN,
        reason=_("The wind bends this part of the tube so hard that a patch would creep off."),
        meanwhile=_UNTIL_THEN,
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-near-a-shop",
        verdict=Verdict.BRING_IN,
        reason=_(
            "It is short and near the tip. Still, a patch on the beach is only for those who are far from "
            "any shop. A tube has to be sewn."
        ),
        meanwhile=_UNTIL_THEN,
        later=_LATER,
        cautions=(HOUSE,),
    ),
    Rule(
        code="cut-in-a-strut",
        verdict=Verdict.BRING_IN,
        reason=_(
            "A cut in a strut has to be sewn. A patch on the beach will not hold it. "
            "Here a cut can rip on by itself from about {runs_at}."
        ),
        meanwhile=_UNTIL_THEN,
        later=_LATER,
        cautions=(HOUSE,),
    ),
)

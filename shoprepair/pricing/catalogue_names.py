"""The names, cautions and promises of the standard catalogue, marked to be translated."""

from shoprepair.mechanics.words import gettext_noop

OPERATIONS = (
    gettext_noop("Sew a small patch on a casing"),
    gettext_noop("Sew a patch on a casing"),
    gettext_noop("Replace a stretch of casing"),
    gettext_noop("Sew one more ply over a scrape"),
    gettext_noop("Rebuild a burst leading edge"),
    gettext_noop("Sew an opened closing seam"),
    gettext_noop("Sew an opened segment seam"),
    gettext_noop("Patch a bladder"),
    gettext_noop("Replace the leading edge's bladder"),
    gettext_noop("Replace a strut's bladder"),
    gettext_noop("Seal a valve's seat anew"),
    gettext_noop("Replace an inflation valve"),
    gettext_noop("Replace a dump valve"),
    gettext_noop("Replace a hose"),
    gettext_noop("Fit a slipped hose again"),
    gettext_noop("Tape a small canopy tear"),
    gettext_noop("Sew a patch on the canopy"),
    gettext_noop("Replace a canopy panel"),
    gettext_noop("Sew an opened canopy seam"),
    gettext_noop("Peel off an old stretch patch and patch anew"),
    gettext_noop("Cut out an old stretch patch with its cloth"),
    gettext_noop("Tape a cracked window"),
    gettext_noop("Replace a window"),
    gettext_noop("Sew an opened trailing edge"),
    gettext_noop("Rebuild a torn trailing edge"),
    gettext_noop("Rebuild a burst strut"),
    gettext_noop("Sew a strut's joint to the leading edge"),
    gettext_noop("Rebuild a strut's end"),
    gettext_noop("Sew a loose handle"),
    gettext_noop("Replace a handle"),
    gettext_noop("Sew a loose bridle point"),
    gettext_noop("Rebuild a torn bridle point"),
    gettext_noop("Replace a closing zip"),
    gettext_noop("Replace a zip slider"),
    gettext_noop("Rinse and dry"),
    gettext_noop("Look over the whole inflatable"),
    gettext_noop("Test that it holds air"),
    gettext_noop("Look at the mirror place"),
)
"""As a customer reads them on the quote."""

CAUTIONS = (
    gettext_noop("A needle through it makes a second repair."),
    gettext_noop("Free hand behind the blade, window open."),
    gettext_noop("Fingers beside the foot, never before the needle."),
    gettext_noop("Window open and no flame near."),
    gettext_noop("Eyes and ears protected."),
    gettext_noop("Gloves on."),
    gettext_noop("Gloves on, window open."),
    gettext_noop("Never upwards."),
    gettext_noop("Gloves on, window open and no flame near."),
    gettext_noop("Goggles on."),
    gettext_noop("No heat, it lets off bad fumes."),
    gettext_noop("Window open."),
    gettext_noop("Eyes and ears protected: air under pressure can burst."),
)
"""What to beware of, beside a step."""

COVER_TERMS = (
    gettext_noop(
        "If this patch or its stitching gives way, we sew it again at no charge for "
        "the life of the gear. New damage beside it is not covered."
    ),
    gettext_noop(
        "If the rebuilt stretch gives way, we rebuild it at no charge for the life of "
        "the gear. The old cloth beyond it is not covered."
    ),
    gettext_noop(
        "If the stretch we sewed opens again, we sew it again at no charge for the "
        "life of the gear. The seam beyond it is not covered."
    ),
    gettext_noop(
        "If this patch leaks, we patch it again at no charge for the life of the "
        "gear. Another hole is not covered."
    ),
    gettext_noop(
        "If the new bladder leaks at a weld or a valve, we replace it at no charge for "
        "24 months. A puncture is not covered."
    ),
    gettext_noop("If this seat leaks, we seal it again at no charge for 24 months."),
    gettext_noop("If the new valve or its seat leaks, we replace it at no charge for 24 months."),
    gettext_noop("If this hose leaks or slips off, we fit it again at no charge for 24 months."),
    gettext_noop("If this hose slips off again, we fit it at no charge for 24 months."),
    gettext_noop(
        "If the tape lifts, we tape it again at no charge for 12 months. A tear that runs on is not covered."
    ),
    gettext_noop("If the new patch lifts, we mend it again at no charge for 12 months."),
    gettext_noop(
        "If the tape lifts, we tape it again at no charge for 12 months. Old film that "
        "cracks elsewhere is not covered."
    ),
    gettext_noop(
        "If the seam of the new window opens, we sew it again at no charge for the "
        "life of the gear. Film that ages is not covered."
    ),
    gettext_noop(
        "If the handle's feet come off, we sew them on again at no charge for the life "
        "of the gear. A worn grip is not covered."
    ),
    gettext_noop(
        "If the zip's seam opens, we sew it again at no charge for the life of the "
        "gear. The zip itself is covered for 24 months."
    ),
    gettext_noop("If the slider fails, we fit another at no charge for 12 months."),
    gettext_noop("Nothing is mended by this, so there is nothing to cover."),
)
"""What is promised of a repair."""

MATERIALS = (
    gettext_noop("Polyester casing cloth"),
    gettext_noop("Polyester adhesive cloth"),
    gettext_noop("Double-sided polyester adhesive cloth"),
    gettext_noop("Ripstop tape"),
    gettext_noop("Ripstop canopy cloth"),
    gettext_noop("Clear window film"),
    gettext_noop("TPU film"),
    gettext_noop("TPU bladder for a leading edge"),
    gettext_noop("TPU bladder for a strut"),
    gettext_noop("Inflation valve with its flange"),
    gettext_noop("Dump valve with its flange"),
    gettext_noop("TPU ring that seats a valve"),
    gettext_noop("Hose between leading edge and strut"),
    gettext_noop("Hose clamp"),
    gettext_noop("Bonded polyester thread, Tex 90"),
    gettext_noop("Bonded polyester thread, Tex 135"),
    gettext_noop("Double-sided basting tape, 6 mm"),
    gettext_noop("Folded edge tape for a trailing edge"),
    gettext_noop("Handle, padded"),
    gettext_noop("Bridle loop with its pad"),
    gettext_noop("Coil zip, 8 mm"),
    gettext_noop("Zip slider"),
    gettext_noop("Wipe with cleaning alcohol"),
    gettext_noop("Adhesive for TPU film, small tube"),
    gettext_noop("Leak-finding soap, one use"),
    gettext_noop("Mild soap, one wash"),
    gettext_noop("Talc, one bladder"),
)
"""What is used up."""

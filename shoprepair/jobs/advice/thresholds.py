"""Every bound that the advice draws, each with its reason: common practice, no source, or marked assumed."""

TOWARD_THE_TIP = 0.66
"""Station from which a cut in a front tube may be fixed far from a shop: the outer third carries least."""
FIELD_CUT_M = 0.025
"""The longest cut in a casing that anyone may fix outside a shop."""
FIELD_BENDING_NM = 40.0
"""Lift may bend the tube no more than this from the cut to the tip [assumed]: glue creeps under more."""
SOUND_SHARE = 0.5
"""A scrape whose fibres are whole is ridden on while whole cloth is asked for less than half its strength."""
SHORT_TEAR_M = 0.025
"""A tear up to here leaves the load to the cloth around it; tape only keeps it from growing."""
TAPE_TEAR_M = 0.090
"""The longest tear in a canopy that tape mends for good: the width of a palm."""
GET_HOME_TEAR_M = 0.190
"""The longest that tape carries home: the length of a hand. Beyond, no cloth lies flat under tape."""
CRACK_M = 0.025
"""The longest crack in a window that tape mends; film tears on more readily than woven cloth."""

TAPE_OVERLAP_M = 0.040
"""How far tape reaches beyond a tear on every side."""
TAPE_FACES = 2
TAPE_LASTING_SHARE = 0.2
"""What of a fresh bond still holds after hours of load."""
TAPE_SHEAR_STRENGTH_PA = 0.5e6
TAPE_SHEAR_MODULUS_PA = 0.5e6
TAPE_ADHESIVE_M = 0.0001
TAPE_STIFFNESS_WHERE_UNKNOWN_N_PER_M = 40_000.0
"""Tape is taken to be as stiff as the cloth under it; this where nobody has measured the cloth."""

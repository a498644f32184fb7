"""The cloths of the library and where their figures come from, marked to be said in the reader's language."""

from shoprepair.mechanics.words import gettext_noop

NAMES = (
    gettext_noop("Polyester casing cloth 170"),
    gettext_noop("Polyester casing cloth 150"),
    gettext_noop("High-tenacity casing cloth 195"),
    gettext_noop("Polyester airbag cloth 210"),
    gettext_noop("Ripstop canopy cloth 40"),
    gettext_noop("Ripstop canopy cloth 54"),
    gettext_noop("Ripstop canopy cloth 50"),
    gettext_noop("Clear window film 0.25"),
    gettext_noop("TPU film 0.08"),
)
"""As the library keeps them, in English; said by `Cloth.__str__`."""

SOURCES = (
    gettext_noop(
        "Woven polyester sailcloth of 150–200 g/m²: 26–45 kN/m. At 170 g/m², by yarn "
        "weight × 0.65 N/tex × 0.75: 36.6 kN/m, rounded down."
    ),
    gettext_noop(
        "Woven polyester sailcloth of 150–200 g/m²: 26–45 kN/m; scaled by weight from "
        "36.6 kN/m at 170 g/m², rounded down."
    ),
    gettext_noop(
        "Patent abstract: at least 95 kgf/in by the grab method = 36.7 kN/m, tongue "
        "tear at least 63.7 N. Grab reads higher than strip."
    ),
    gettext_noop(
        "Nylon ripstop PIA/MIL-C-44378 type I, 1.17 oz/yd²: 45 lbf/in, tear 5 lbf, the "
        "least the specification allows."
    ),
    gettext_noop(
        "Nylon ripstop MIL-C-7020 type II, 1.60 oz/yd²: 50 lbf/in, tear 5 lbf, the "
        "least the specification allows."
    ),
    gettext_noop(
        "Canopy ripstop of about 50 g/m²: 8–10 kN/m, scaled from nylon ripstop PIA/MIL-C-44378 type I."
    ),
    gettext_noop("Film of 30–50 MPa at 0.25 mm: 7.5–12.5 kN/m; the middle is taken."),
    gettext_noop(
        "TPU bladder film of 0.05–0.10 mm, 30–50 MPa: 1.5–5 kN/m. In service it "
        "carries nothing if it is cut large enough."
    ),
)
"""Where the figures come from; said where they are shown."""

"""What the papers warn of, a sentence each, said the same way on every paper."""

from shoprepair.shop.languages import gettext_lazy

SCREENING = gettext_lazy(
    "Screening figures, not a certificate: inspect, respect the maker's limits and local rules, "
    "let a qualified person sign."
)
DROWNING = gettext_lazy("A failure offshore can drown the rider.")
PRESSURE = gettext_lazy(
    "Air under pressure can burst: eye and ear protection at test pressure, nobody over the tube."
)
SOLVENTS = gettext_lazy(
    "Solvents and adhesives: ventilate, no flame. Hot tools: off and away from cloth and film."
)
NEEDLES = gettext_lazy("Needles and blades: counted in, counted out.")

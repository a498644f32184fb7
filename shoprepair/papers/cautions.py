"""What the papers warn of, a sentence each, said the same way on every paper."""

SCREENING = (
    "Screening figures, not a certificate: inspect, respect the maker's limits and local rules, "
    "let a qualified person sign."
)
DROWNING = "A failure offshore can drown the rider."
PRESSURE = "Air under pressure can burst: eye and ear protection at test pressure, nobody over the tube."
SOLVENTS = "Solvents and adhesives: ventilate, no flame. Hot tools: off and away from cloth and film."
NEEDLES = "Needles and blades: counted in, counted out."

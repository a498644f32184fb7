"""The numbers of the trade: plain figures in SI units in, figures and sentences out. No Django, no files.

`assessment.assess` is the way in. What it works on is in `description`; which rule judges what, in `rules`;
the rules, in `casing`, `sailcloth`, `attachment` and `bladder`; what stands above their arithmetic, in
`floors`. The load cases are in `loads`, and the physics under them in `tube`, `span`, `slit`, `seam`, `air`
and `canopy`.
"""

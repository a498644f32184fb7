"""Whether the tests would notice a fault: the most dangerous modules are changed, one spot at a time.

`make mutants` changes all that `modules.toml` names, `make mutants ONLY=money` one group of it. The changing
itself is mutmut's; here stands which tests look at which module, and which changes mean nothing and why.
"""

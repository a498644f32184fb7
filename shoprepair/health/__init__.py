"""How the shop runs: whether it lives and can work, what it shows when something broke, and its upkeep."""

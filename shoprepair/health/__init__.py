"""How the shop runs: whether it lives, whether it can work, what it shows when something broke, and its upkeep."""

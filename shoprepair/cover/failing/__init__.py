"""What the failures teach: where gear fails, what comes back, how long repairs hold, what that will cost."""

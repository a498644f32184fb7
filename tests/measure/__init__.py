"""What a page, a paper and a photo cost, and how that grows with the shop: counts first, then ratios."""

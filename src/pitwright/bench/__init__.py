"""The bench: the local page on which a pit is designed by moving it, and the shop floor's page on a phone."""

"""What somebody stated: the vessel as surveyed, the order, the shop's proportions, what was measured on the build."""

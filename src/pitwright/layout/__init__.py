"""Geometry of the pit: from round shapes and plane cuts up to the assembled layout."""

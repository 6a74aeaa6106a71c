"""The fire of a pit: will it draw, hold its heat, and cook the same from end to end."""

"""Pure geometry of rounds, heads, pipe ends and slanted cuts: no pit, no shop, SI only."""

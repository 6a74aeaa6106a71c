"""Strength and stability: does it stand, lift and travel? Inputs of its own (SI), pure functions, nothing printed."""

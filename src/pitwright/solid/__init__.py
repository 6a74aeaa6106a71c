"""Solid models of the pieces: light meshes for pictures and checks, exact B-rep solids for the STEP file."""

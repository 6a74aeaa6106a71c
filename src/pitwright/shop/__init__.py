"""What the shop needs to cut and build: stick plans, plate nests, and the work lists."""

"""Views of a solved pit: what each sheet of the plan set draws and writes. Every figure comes from the pit."""

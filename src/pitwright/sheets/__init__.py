"""Sheets: what people see and take away. One drawing model feeds the screen, the print and the cut file."""

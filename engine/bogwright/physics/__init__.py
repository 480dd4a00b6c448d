"""Pure functions of light, air, water and substrate; imports nothing of the project."""

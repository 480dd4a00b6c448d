"""Single questions answered by the formulas of the physics: ``bogwright reckon WHAT …``."""

"""From rows and windows to a verdict a grower can act on."""

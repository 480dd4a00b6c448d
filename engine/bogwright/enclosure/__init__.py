"""The plan file and the conditions in it, per place and month."""

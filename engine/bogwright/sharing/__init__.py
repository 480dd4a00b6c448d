"""What plants can share: months, windows, groups, beds."""

"""Claims and conditions become rows for the rules. Rows carry margins and traits, never thresholds."""

"""Leading at the loom: one step at a time, on a screen, in a terminal, by voice."""

"""The week and the session: what to train, what to load now, and what the next set is."""

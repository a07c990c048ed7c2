"""Delivery: messages that wait leave in order, at the platform's pace, until each is sent or cannot be."""

"""Talks with Telegram."""

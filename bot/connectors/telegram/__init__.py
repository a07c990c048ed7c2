"""Telegram: the chat of a bot there, by polling or by a webhook."""

import os

# The library tells pauses as lengths of time then, as its next major version will, and does not warn about it.
os.environ.setdefault("PTB_TIMEDELTA", "true")
